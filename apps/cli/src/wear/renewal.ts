import { renewalAge, type Renewal } from '@lintel/engine';
import { Command } from 'commander';
import { InputError } from '../inputError.js';

interface RenewalOptions {
  shape: string;
  scale: string;
  plannedCost: string;
  failureCost: string;
  json?: true;
}

const WHY: Record<Extract<Renewal, { none: string }>['none'], string> = {
  'no-wear-out': 'the part does not wear out (its shape is not above 1), so an old one is no worse than a new one',
  'failure-no-dearer': 'a failure costs no more than a planned replacement',
  'beyond-life': 'the best age lies beyond the life of nearly all parts',
};

/** `lintel renewal`: the replacement age of least cost. */
export function renewalCommand(): Command {
  return new Command('renewal')
    .description('the age at which replacing a working part costs least in the long run')
    .requiredOption('--shape <shape>', "shape of the part's Weibull law")
    .requiredOption('--scale <scale>', 'its scale, the age by which 63.2 % have failed; the answer is in the same unit')
    .requiredOption('--planned-cost <cost>', 'cost of a planned replacement')
    .requiredOption('--failure-cost <cost>', 'cost of a failure with all that follows, in the same currency')
    .option('--json', 'print the answer as JSON; age is null where running to failure is best')
    .addHelpText('after', '\nExample:\n  npx lintel renewal --shape 2.5 --scale 1000 --planned-cost 1 --failure-cost 5 --json')
    .action((options: RenewalOptions) => {
      const renewal = renewalAge({
        shape: numberOption('--shape', options.shape),
        scale: numberOption('--scale', options.scale),
        plannedCost: numberOption('--planned-cost', options.plannedCost),
        failureCost: numberOption('--failure-cost', options.failureCost),
      });
      process.stdout.write(options.json ? `${JSON.stringify('none' in renewal ? { age: null, costRate: null, reason: renewal.none } : renewal)}\n` : renewalText(renewal));
    });
}

/** A number above 0 from an option. @throws InputError naming the option. */
function numberOption(option: string, given: string): number {
  const value = given.trim() === '' ? NaN : Number(given);
  if (!(value > 0 && value < Infinity)) throw new InputError(`${option}: must be a number above 0, is '${given}'`);
  return value;
}

function renewalText(renewal: Renewal): string {
  if ('none' in renewal) return `Run to failure: ${WHY[renewal.none]}.\n`;
  const number = (value: number): string => value.toLocaleString('en-GB', { maximumSignificantDigits: 7 });
  return `Replace at age ${number(renewal.age)}; that costs ${number(renewal.costRate)} a unit of age in the long run.\n`;
}
