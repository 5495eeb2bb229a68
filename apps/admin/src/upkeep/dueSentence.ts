import type { DueItem } from '@lintel/contract';
import { count, formatAbout, formatDate, formatWhole } from '@lintel/ui';

type Why = DueItem['why'];

/** Why a due item has its date, as sentences made from the engine's codes and facts. */
export function dueSentence(why: Why, safety: boolean): string {
  const sentences = [why.rule === 'calendar' ? calendarSentence(why) : cyclesSentence(why, safety)];
  if (why.tightenedByRegime) sentences.push('The site’s own rules ask for this shorter interval.');
  if (why.otherRuleDue) {
    sentences.push(`By ${why.rule === 'calendar' ? 'cycles' : 'calendar'} alone it would fall on ${formatDate(why.otherRuleDue)}; the earlier date counts.`);
  }
  return sentences.join(' ');
}

function basisPhrase({ kind, on }: Why['basis']): string {
  return kind === 'completion' ? `last done on ${formatDate(on)}` : `never done since the door came into service on ${formatDate(on)}`;
}

function calendarSentence(why: Why): string {
  return `Every ${count(why.interval, 'month').replace(/^1 /, '')}; ${basisPhrase(why.basis)}.`;
}

function cyclesSentence(why: Why, safety: boolean): string {
  const togo =
    why.cyclesToGo === null
      ? ''
      : why.cyclesToGo <= 0
        ? ` The ${formatWhole(why.interval)} cycles are used up.`
        : ` About ${formatAbout(why.cyclesToGo)} cycles to go${why.lastReadingAt === null ? ', by the duty of similar doors' : ` by the reading of ${formatDate(new Date(why.lastReadingAt).toISOString())}`}.`;
  const cautious = safety && why.quantile !== null && why.quantile < 0.5 ? ' The early end of the forecast is taken, because it is a safety matter.' : '';
  return `Every ${formatWhole(why.interval)} cycles; ${basisPhrase(why.basis)}.${togo}${cautious}`;
}
