import { fitWeibull, type NoFit, type WeibullFit } from '@lintel/engine';
import { Command } from 'commander';
import { InputError } from '../inputError.js';
import { readLivesFile } from './readLivesFile.js';

const WHY: Record<NoFit['none'], string> = {
  'too-few-failures': 'holds fewer than two failures: they say nothing of how a part wears out',
  'failures-at-one-age': 'all parts fail at one age, which no other outlives: no law can be told from that',
  'shape-not-bounded': 'its parts were all seen so late that no law fits best',
};

/** What is printed as JSON, in this order. */
const KEYS = [
  'shape', 'scale', 'shapeError', 'scaleError', 'shapeInterval', 'scaleInterval', 'b10', 'b10Interval', 'logLikelihood', 'failures', 'suspensions',
] as const satisfies readonly (keyof WeibullFit)[];

/** `lintel fit FILE.csv`: a Weibull law for a file of lives, without a database. */
export function fitCommand(): Command {
  return new Command('fit')
    .description('fits a Weibull law to lives by maximum likelihood; parts that still run and parts first seen at an age count as such')
    .argument('<file>', 'CSV with the columns age,event (1 failed, 0 still running) and optionally entry, the age at which it was first seen')
    .option('--json', 'print the answer as JSON')
    .addHelpText('after', '\nIntervals are of 95 %: by likelihood ratio for shape and scale, by the delta method for B10.\n\nExample:\n  npx lintel fit chains.csv --json')
    .action(async (file: string, options: { json?: true }) => {
      const fit = fitWeibull(await readLivesFile(file));
      if ('none' in fit) throw new InputError(`${file}: ${WHY[fit.none]}`);
      process.stdout.write(options.json ? `${JSON.stringify(Object.fromEntries(KEYS.map((key) => [key, fit[key]])))}\n` : fitText(fit));
    });
}

function fitText(fit: WeibullFit): string {
  const { shape, scale, b10, shapeError, scaleError, shapeInterval, scaleInterval, b10Interval } = fit;
  const row = (title: string, value: number, error: number | null, [low, high]: readonly [number, number]): string =>
    `  ${title.padEnd(28)}${number(value).padStart(14)}${(error === null ? '' : number(error)).padStart(14)}${`${number(low)} to ${number(high)}`.padStart(32)}`;
  return [
    `${number(fit.failures)} failures, ${number(fit.suspensions)} suspensions; log-likelihood ${number(fit.logLikelihood)}`,
    '',
    `  ${''.padEnd(28)}${''.padStart(14)}${'error'.padStart(14)}${'95 % interval'.padStart(32)}`,
    row('shape', shape, shapeError, shapeInterval),
    row('scale', scale, scaleError, scaleInterval),
    row('B10, one in ten has failed', b10, null, b10Interval),
    '',
  ].join('\n');
}

const number = (value: number): string => value.toLocaleString('en-GB', { maximumSignificantDigits: 6 });
