import { civilDateAt, HORIZON_DAYS, type CounterForecast, type Verdict } from '@lintel/engine';
import type { CounterFile } from './readCounterFile.js';

const DAY_MS = 86_400_000;

interface Three<T> {
  p10: T;
  p50: T;
  p90: T;
}

/** What a counter's readings say of its future; dates in the zone that was asked for, null: not within a century. */
export interface ForecastAnswer {
  asOf: string;
  verdicts: { line: number; at: string; value: number; verdict: Verdict }[];
  lifetimeCycles: number;
  cyclesPerDay: Three<number>;
  horizons: { daysAhead: number; on: string; lifetimeCycles: Three<number> }[];
  target: { lifetimeCycles: number; on: Three<string | null>; daysAhead: Three<number | null> } | null;
}

const mapThree = <From, To>({ p10, p50, p90 }: Three<From>, change: (value: From) => To): Three<To> =>
  ({ p10: change(p10), p50: change(p50), p90: change(p90) });

export function forecastAnswer(
  file: CounterFile,
  forecast: CounterForecast,
  { asOf, target, timeZone }: { asOf: number; target: number | null; timeZone: string },
): ForecastAnswer {
  const dateAfter = (days: number): string => civilDateAt(asOf + days * DAY_MS, timeZone);
  const reached = <T>(days: number, answer: T): T | null => (days >= HORIZON_DAYS ? null : answer);
  const { targetDaysAhead } = forecast;
  return {
    asOf: new Date(asOf).toISOString(),
    verdicts: file.readings.map(({ line, at, value }, index) => ({
      line, at: new Date(at).toISOString(), value, verdict: forecast.verdicts[index]!,
    })),
    lifetimeCycles: Math.round(forecast.model.lifetimeCycles),
    cyclesPerDay: mapThree(forecast.model.cyclesPerDay, (rate) => Number(rate.toFixed(2))),
    horizons: forecast.horizons.map(({ daysAhead, lifetimeCycles }) => ({
      daysAhead, on: dateAfter(daysAhead), lifetimeCycles: mapThree(lifetimeCycles, Math.round),
    })),
    target: target === null || targetDaysAhead === null ? null : {
      lifetimeCycles: target,
      on: mapThree(targetDaysAhead, (days) => reached(days, dateAfter(Math.min(days, HORIZON_DAYS)))),
      daysAhead: mapThree(targetDaysAhead, (days) => reached(days, Number(days.toFixed(2)))),
    },
  };
}

const number = (value: number): string => value.toLocaleString('en-GB', { maximumFractionDigits: 1 });

/** The same for people. */
export function forecastText(answer: ForecastAnswer): string {
  const counts = new Map<Verdict, number>();
  for (const { verdict } of answer.verdicts) counts.set(verdict, (counts.get(verdict) ?? 0) + 1);
  const row = (title: string, { p10, p50, p90 }: Three<string>): string => `  ${title.padEnd(34)}${p10.padStart(14)}${p50.padStart(14)}${p90.padStart(14)}`;
  const numbers = (three: Three<number>): Three<string> => mapThree(three, number);
  const lines = [
    `${answer.verdicts.length} readings: ${[...counts].map(([verdict, count]) => `${count} ${verdict}`).join(', ')}`,
    ...answer.verdicts.filter(({ verdict }) => verdict !== 'used').map(({ line, at, value, verdict }) => `  line ${line}  ${at}  ${value}  ${verdict}`),
    `Lifetime cycles as of ${answer.asOf}: ${number(answer.lifetimeCycles)}`,
    '',
    row('', { p10: 'P10', p50: 'P50', p90: 'P90' }),
    row('cycles a day', numbers(answer.cyclesPerDay)),
    ...answer.horizons.map(({ daysAhead, on, lifetimeCycles }) => row(`cycles in ${daysAhead} days, ${on}`, numbers(lifetimeCycles))),
  ];
  const { target } = answer;
  if (target !== null) lines.push(row(`${number(target.lifetimeCycles)} cycles reached on`, mapThree(target.on, (on) => on ?? 'in >100 years')));
  return `${lines.join('\n')}\n`;
}
