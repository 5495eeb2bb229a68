import { DEFAULT_PRIOR, forecastCounter, unwrap, type CounterForecast, type RawReading } from '@lintel/engine';
import { parseInstant } from '@lintel/store';
import { Command } from 'commander';
import { InputError } from '../inputError.js';
import { wholeOption, zoneOption } from '../options.js';
import { forecastAnswer, forecastText } from './forecastText.js';
import { readCounterFile, type CounterFile } from './readCounterFile.js';

interface ForecastOptions {
  days: string;
  target?: string;
  modulus?: string;
  asOf?: string;
  timeZone: string;
  minCycleSeconds: string;
  json?: true;
}

const MOST_DAYS = 36_500;

/** `lintel forecast FILE.csv`: one counter's future, without a database. */
export function forecastCommand(): Command {
  return new Command('forecast')
    .description("from a counter's readings to its rate, its cycles ahead and the date of a given count, each as P10, P50, P90")
    .argument('<file>', 'CSV with the columns at,value: when the counter was read, and what it showed')
    .option('--days <list>', 'horizons, days ahead, parted by commas', '30,90')
    .option('--target <N>', 'lifetime cycles whose date is asked')
    .option('--modulus <N>', 'value at which the counter rolls over to 0; left out: a fall from just under a power of ten is one')
    .option('--as-of <instant>', 'from when the days count; left out: the last reading that is used')
    .option('--time-zone <zone>', 'IANA zone of times without one, and of the dates in the answer', 'UTC')
    .option('--min-cycle-seconds <S>', 'shortest time that one cycle of the door can take', '5')
    .option('--json', 'print the answer as JSON')
    .addHelpText('after', '\nThe first reading is taken for the lifetime cycles of the door then.\n\nExample:\n  npx lintel forecast counter.csv --days 30,90 --target 1000000 --json')
    .action(async (file: string, options: ForecastOptions) => {
      const answer = await forecast(file, options);
      process.stdout.write(options.json ? `${JSON.stringify(answer)}\n` : forecastText(answer));
    });
}

async function forecast(file: string, options: ForecastOptions) {
  const timeZone = zoneOption('--time-zone', options.timeZone);
  const horizonsDays = options.days.split(',').map((word) => wholeOption('--days', word, 0, MOST_DAYS));
  const target = options.target === undefined ? null : wholeOption('--target', options.target, 0);
  const unwrapping = {
    minCycleSeconds: readSeconds(options.minCycleSeconds),
    ...(options.modulus === undefined ? {} : { modulus: wholeOption('--modulus', options.modulus, 2) }),
  };
  const givenAsOf = options.asOf === undefined ? undefined : parseInstant(options.asOf, 'year-month-day', timeZone);
  if (typeof givenAsOf === 'object') throw new InputError(`--as-of: ${givenAsOf.reason}`);
  const counter: CounterFile = await readCounterFile(file, timeZone);
  const readings: RawReading[] = counter.readings.map(({ at, value }) => ({ at, value }));
  const asOf = givenAsOf ?? unwrap(readings, [], unwrapping).history.at.at(-1);
  if (asOf === undefined) throw new InputError(`${file}: holds no reading that can be used`);
  const result: CounterForecast = forecastCounter(readings, [], unwrapping, DEFAULT_PRIOR, { asOf, horizonsDays, target });
  return forecastAnswer(counter, result, { asOf, target, timeZone });
}

function readSeconds(given: string): number {
  const seconds = given.trim() === '' ? NaN : Number(given);
  if (!(seconds > 0 && seconds <= 3600)) throw new InputError(`--min-cycle-seconds: must be a number above 0, up to 3600, is '${given}'`);
  return seconds;
}
