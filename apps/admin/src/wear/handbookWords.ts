import type { BearingLifeView, ChainLifeView } from '@lintel/contract';
import { formatAbout, formatChance, formatDate } from '@lintel/ui';

type Dates = NonNullable<ChainLifeView['limitOn']>;

const percent = (value: number): string => `${Number(value.toFixed(2))} %`;
const dateWord = (date: string | null): string => (date === null ? 'later than a hundred years' : formatDate(date));

/** Early, middle and late date of something computed. */
export function datesWords({ p10, p50, p90 }: Dates): string {
  if (p10 === null) return 'in more than a hundred years';
  if (p10 === p50 && p50 === p90) return `on ${dateWord(p50)}`;
  return `early ${dateWord(p10)}, most likely ${dateWord(p50)}, late ${dateWord(p90)}`;
}

/** Where the limit comes from. */
export function limitWords({ limitPercent, limitSource, sprocketTeeth, fixedCentres }: ChainLifeView): string {
  if (limitSource === 'maker') return `Replace at ${percent(limitPercent)}, the limit given for this chain.`;
  const why = sprocketTeeth !== null && limitPercent === 200 / sprocketTeeth ? `200 / ${sprocketTeeth} teeth` : fixedCentres ? 'fixed shaft centres, or centres not known' : 'adjustable centres';
  return `Replace at ${percent(limitPercent)} (${why}): chain makers’ rule citing ASME B29.1, read second-hand; the maker’s own limit comes first.`;
}

/** What the measurements of a chain come to. */
export function chainSentence(chain: ChainLifeView): string {
  const { atLimit, line, limitPercent, none, measurements, limitOn } = chain;
  const last = measurements.at(-1);
  if (last === undefined) return 'Not measured yet.';
  if (atLimit) return `At its limit: measured ${percent(last.elongationPercent)}, to be replaced at ${percent(limitPercent)}.`;
  if (none === 'too-few-measurements') return `Last measured ${percent(last.elongationPercent)}. Three measurements at different counts are needed for a line.`;
  if (line === null) return `Last measured ${percent(last.elongationPercent)}. The measurements show no elongation with the cycles: measure again.`;
  const range = line.high === null ? `${formatAbout(line.low)} or more; too unsure for a late end` : `${formatAbout(line.low)} to ${formatAbout(line.high)}`;
  const dates = limitOn === null ? '' : `: ${datesWords(limitOn)}`;
  return `Last measured ${percent(last.elongationPercent)}; grows ${percent(line.percentPer100kCycles)} in 100,000 cycles and meets ${percent(limitPercent)} at about ${formatAbout(line.cyclesAtLimit)} cycles (${range})${dates}.`;
}

/** What the rating of a bearing comes to at this door. */
export function bearingSentence({ ageCycles, l10Cycles, failedByNow, reachedOn }: BearingLifeView): string {
  const share = `It has run ${formatAbout(ageCycles)} of them; chance of having failed by this age ${formatChance(failedByNow)}.`;
  const when = reachedOn === null ? '' : ageCycles >= l10Cycles ? ' L10 has been passed.' : ` L10 is reached ${datesWords(reachedOn)}.`;
  return `${share}${when}`;
}
