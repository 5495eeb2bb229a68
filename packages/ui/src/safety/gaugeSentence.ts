import type { Facts, GaugeReason, GaugeReasonCode } from '@lintel/engine';
import { formatDate } from '../format/dates.js';

/** Why a force gauge may not be used, as a sentence: what it is, and what the limits ask for. */
export function gaugeSentence({ code, facts }: GaugeReason): string {
  return sentences[code](facts);
}

const shown = (fact: Facts[string] | undefined): string => String(fact);
const date = (fact: Facts[string] | undefined): string => formatDate(shown(fact));

const sentences: Record<GaugeReasonCode, (facts: Facts) => string> = {
  'sampling-too-slow': ({ hertz, leastHertz }) => `It samples at ${shown(hertz)} Hz; ${shown(leastHertz)} Hz at least are asked for.`,
  'accuracy-too-coarse': ({ accuracyPercent, mostPercent }) => `It is accurate to ${shown(accuracyPercent)} %; ${shown(mostPercent)} % at most are asked for.`,
  'range-starts-too-high': ({ rangeFromNewton, mostNewton }) => `Its range starts at ${shown(rangeFromNewton)} N; it must start at ${shown(mostNewton)} N or below.`,
  'range-ends-too-low': ({ rangeToNewton, leastNewton }) => `Its range ends at ${shown(rangeToNewton)} N; it must reach ${shown(leastNewton)} N.`,
  'spring-differs': ({ springNewtonPerMm, expected, tolerance }) => `Its spring has ${shown(springNewtonPerMm)} N/mm; ${shown(expected)} ± ${shown(tolerance)} N/mm are asked for.`,
  'disc-differs': ({ discMm, expectedMm }) => `Its disc is ${shown(discMm)} mm across; ${shown(expectedMm)} mm are asked for.`,
  'calibration-unknown': () => 'No calibration of it is on record.',
  'calibration-in-future': ({ calibratedOn }) => `Its calibration is of ${date(calibratedOn)}, after the day of the test.`,
  'calibration-expired': ({ calibratedOn, goodThrough }) => `Its calibration of ${date(calibratedOn)} was good through ${date(goodThrough)}.`,
};
