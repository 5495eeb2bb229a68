import { readFile } from 'node:fs/promises';
import { text } from 'node:stream/consumers';
import { type ForceCurve, readForceFile } from '@lintel/contract';
import { defaultForceLimits, forceFigures, judgeForce, LEAST_GAP_MM } from '@lintel/engine';
import type { ForcePlace } from '@lintel/engine';
import { Command } from 'commander';
import { forceJson, forceText } from './forceText.js';

/** Exit code for input that cannot be used. A curve that is judged and not passed is an answer, with exit code 0. */
const BAD_INPUT = 2;
const MOST_GAP_MM = 20_000;
const POSITIONS: readonly ForcePlace['position'][] = ['closing-edge', 'flat-areas'];

/** Input that cannot be used: what is wrong, with the option or the line. */
class BadInput extends Error {}

/** `lintel force FILE.csv --gap MM [--json]`. */
export function forceCommand(): Command {
  return new Command('force')
    .description('judge a closing force test: a force–time curve against the limits for its gap')
    .argument('<file>', "CSV with the columns ms,newton under a header; '-' reads standard input")
    .option('--gap <MM>', 'distance of the closing edge from what it closes on, mm (needed)')
    .option('--position <PLACE>', `what the gauge stood between: ${POSITIONS.join(' or ')}`, POSITIONS[0])
    .option('--json', 'print the verdict as JSON')
    .action(async (file: string, options: { gap?: string; position: string; json?: true }, command: Command) => {
      try {
        const place = readPlace(options.gap, options.position);
        const verdict = judge(await readCurve(file), place);
        process.stdout.write(options.json ? `${JSON.stringify(forceJson(verdict))}\n` : forceText(verdict, place));
      } catch (error) {
        if (!(error instanceof BadInput)) throw error;
        command.error(`lintel force: ${error.message}`, { exitCode: BAD_INPUT });
      }
    });
}

function readPlace(gap: string | undefined, givenPosition: string): ForcePlace {
  if (gap === undefined) throw new BadInput('--gap: is needed, in mm');
  const gapMm = gap.trim() === '' ? NaN : Number(gap);
  if (!(gapMm >= LEAST_GAP_MM && gapMm <= MOST_GAP_MM)) {
    throw new BadInput(`--gap: must be a number of mm from ${LEAST_GAP_MM} to ${MOST_GAP_MM}, is '${gap}'`);
  }
  const position = POSITIONS.find((one) => one === givenPosition);
  if (!position) throw new BadInput(`--position: must be ${POSITIONS.join(' or ')}, is '${givenPosition}'`);
  return { gapMm, movement: 'vertical', position };
}

async function readCurve(file: string): Promise<ForceCurve> {
  const source = file === '-' ? 'standard input' : file;
  let content: string;
  try {
    content = file === '-' ? await text(process.stdin) : await readFile(file, 'utf8');
  } catch (error) {
    throw new BadInput(`${source}: cannot be read (${(error as NodeJS.ErrnoException).code ?? String(error)})`);
  }
  const read = readForceFile(content);
  if ('message' in read) throw new BadInput(`${source}: line ${read.line}: ${read.message}`);
  return read.curve;
}

function judge(curve: ForceCurve, place: ForcePlace) {
  const reading = forceFigures(curve, defaultForceLimits);
  const verdict = 'refused' in reading ? reading : judgeForce(reading, place, defaultForceLimits);
  // The file and the gap were checked line by line: a refusal here would be a fault of this program.
  if ('refused' in verdict) throw new Error(`${verdict.refused} ${JSON.stringify(verdict.facts)}`);
  return verdict;
}
