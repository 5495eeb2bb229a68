import { readFile } from 'node:fs/promises';
import { performance } from 'node:perf_hooks';
import { text } from 'node:stream/consumers';
import { setImmediate } from 'node:timers/promises';
import { fieldName, routeFaultText, routeProblem } from '@lintel/contract';
import type { RouteAnswer } from '@lintel/contract';
import { routeSlices } from '@lintel/engine';
import type { RouteFaults, RouteProblem, RouteSolution } from '@lintel/engine';
import { Command } from 'commander';
import { parse, printParseErrorCode } from 'jsonc-parser';
import type { ParseError } from 'jsonc-parser';
import { routeText } from './routeText.js';

/** Exit code for input that cannot be used. */
const BAD_INPUT = 2;
const MOST_SECONDS = 86_400;
const DECIMALS = 1e6;

/** Input that cannot be used: what is wrong, with the field or the line. */
class BadInput extends Error {}

/** `lintel route FILE.json [--seconds S] [--seed K] [--json]`. */
export function routeCommand(): Command {
  return new Command('route')
    .description('plan routes: who goes where, in which order, when')
    .argument('<file>', "problem as JSON, times in minutes from the start of the horizon; '-' reads standard input")
    .option('--seconds <S>', 'how long to search; Ctrl-C ends it earlier with the best plan so far', '10')
    .option('--seed <K>', 'seed of the search', '1')
    .option('--json', 'print the plan as JSON')
    .action(async (file: string, options: { seconds: string; seed: string; json?: true }, command: Command) => {
      try {
        const seconds = readNumber('--seconds', options.seconds, 0, MOST_SECONDS);
        const seed = readNumber('--seed', options.seed, 0, Number.MAX_SAFE_INTEGER);
        if (!Number.isInteger(seed)) throw new BadInput(`--seed: must be a whole number, is ${options.seed}`);
        const answer = await solve(await readProblem(file), seconds, seed);
        process.stdout.write(options.json ? `${JSON.stringify(answer)}\n` : routeText(answer));
      } catch (error) {
        if (!(error instanceof BadInput)) throw error;
        command.error(`lintel route: ${error.message}`, { exitCode: BAD_INPUT });
      }
    });
}

function readNumber(option: string, given: string, least: number, most: number): number {
  const value = given.trim() === '' ? NaN : Number(given);
  if (!(value >= least && value <= most)) {
    throw new BadInput(`${option}: must be a number from ${least} to ${most}, is '${given}'`);
  }
  return value;
}

async function readProblem(file: string): Promise<RouteProblem> {
  const source = file === '-' ? 'standard input' : file;
  let json: string;
  try {
    json = file === '-' ? await text(process.stdin) : await readFile(file, 'utf8');
  } catch (error) {
    throw new BadInput(`${source}: cannot be read (${(error as NodeJS.ErrnoException).code ?? String(error)})`);
  }
  let value: unknown;
  try {
    value = JSON.parse(json);
  } catch {
    throw new BadInput(`${source}: ${jsonFault(json)}`);
  }
  const parsed = routeProblem.safeParse(value);
  if (parsed.success) return parsed.data;
  const faults = parsed.error.issues.map((issue) =>
    issue.code === 'unrecognized_keys'
      ? { field: fieldName([...issue.path, issue.keys[0] ?? '']), message: 'is not a field known here' }
      : { field: fieldName(issue.path), message: issue.message },
  );
  const others = new Set(faults.map(({ field }) => field)).size - 1;
  const more = others > 0 ? ` (and ${others} more fields)` : '';
  throw new BadInput(`${source}: ${faults[0]?.field}: ${faults[0]?.message}${more}`);
}

/** Where the text stops being JSON: the platform's own message does not always say. */
function jsonFault(json: string): string {
  const errors: ParseError[] = [];
  parse(json, errors, { disallowComments: true, allowTrailingComma: false });
  const before = json.slice(0, errors[0]?.offset ?? 0).split('\n');
  const what = errors[0] ? ` (${printParseErrorCode(errors[0].error)})` : '';
  return `line ${before.length}, column ${before.at(-1)!.length + 1}: not valid JSON${what}`;
}

/** Runs the search slice by slice, so that Ctrl-C is heard between two. */
async function solve(problem: RouteProblem, seconds: number, seed: number): Promise<RouteAnswer> {
  const nowMs = (): number => performance.now();
  const startedMs = nowMs();
  let stopped = false;
  const stop = (): void => void (stopped = true);
  process.once('SIGINT', stop);
  const slices = routeSlices(problem, { seed, budget: { seconds, nowMs } });
  let solution: RouteSolution | RouteFaults | undefined;
  while (!solution) {
    const slice = slices.next();
    if (slice.done) solution = slice.value;
    else if (stopped) solution = slice.value.best();
    await setImmediate();
  }
  process.removeListener('SIGINT', stop);
  if ('faults' in solution) {
    const fault = solution.faults[0]!;
    throw new BadInput(`${fieldName(fault.path)}: ${routeFaultText(fault)}`);
  }
  const { cost, travel, unserved, routes, iterations } = solution;
  const took = (nowMs() - startedMs) / 1000;
  return { cost: round(cost), travel: round(travel), unserved, routes, iterations, seconds: round(took) };
}

/** Sums of decimals printed without their rounding error. */
function round(value: number): number {
  return Math.round(value * DECIMALS) / DECIMALS;
}
