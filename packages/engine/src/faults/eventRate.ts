import chiSquareQuantile from '@stdlib/stats-base-dists-chisquare-quantile';
import type { Interval } from '../shared/interval.js';

export interface EventRate {
  /** Events per unit of exposure, and its exact interval for a Poisson count. */
  rate: number;
  interval: Interval;
  /** Exposure between events; Infinity without one. */
  between: number;
  betweenInterval: Interval;
}

/**
 * Rate of events over an exposure (cycles, hours, doors × days), with the exact Poisson interval (Garwood
 * 1936): by χ² with twice as many degrees as events below, and two more above; without the two more if the
 * observation ended with an event. O(1). @throws RangeError naming the field, unless `events` is a whole number
 * and `exposure` above 0.
 */
export function eventRate(
  events: number,
  exposure: number,
  confidence = 0.95,
  ended: 'by-time' | 'by-event' = 'by-time',
): EventRate {
  if (!(Number.isInteger(events) && events >= 0))
    throw new RangeError(`events must be a whole number, not ${events}`);
  if (!(exposure > 0 && exposure < Infinity)) throw new RangeError(`exposure must be above 0, not ${exposure}`);
  const tail = (1 - confidence) / 2;
  const degrees = 2 * events;
  const low = events === 0 ? 0 : chiSquareQuantile(tail, degrees) / 2;
  const above = ended === 'by-time' ? degrees + 2 : degrees;
  const high = above === 0 ? Infinity : chiSquareQuantile(1 - tail, above) / 2;
  return {
    rate: events / exposure,
    interval: [low / exposure, high / exposure],
    between: events === 0 ? Infinity : exposure / events,
    betweenInterval: [exposure / high, low === 0 ? Infinity : exposure / low],
  };
}
