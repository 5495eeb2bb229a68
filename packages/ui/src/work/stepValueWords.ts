import type { StepValue } from '@lintel/engine';
import { count } from '../format/dates.js';
import { removalWords } from '../fleet/words.js';
import { formatWhole } from '../format/numbers.js';

/**
 * What a step holds, in a few words, without its outcome and its remark: `yes`, `382 N`, `3 photographs`,
 * `removed (worn out, serial A1), fitted (serial B2)`, `27 of 27 readings, greatest peak 312 N`.
 */
export function stepValueWords(value: StepValue): string {
  switch (value.kind) {
    case 'confirm':
      return value.confirmed ? 'yes' : 'no';
    case 'measure':
      return `${value.value.toLocaleString('en', { maximumFractionDigits: 6 })} ${value.unit}`.trim();
    case 'choose':
      return value.choice;
    case 'photograph':
      return count(value.photoIds.length, 'photograph');
    case 'read-counter':
      return formatWhole(value.value);
    case 'test-device':
      return value.outcome === 'passed' ? 'works' : 'does not work';
    case 'force-test':
      return forceWords(value);
    case 'fit-part':
      return partWords(value);
    case 'text':
      return value.text;
  }
}

function forceWords({ verdict }: Extract<StepValue, { kind: 'force-test' }>): string {
  const peaks = verdict.points.flatMap(({ verdict: point }) => (point ? [point.figures.peakNewton] : []));
  const taken = verdict.readingsNeeded - verdict.readingsMissing;
  const greatest = peaks.length > 0 ? `, greatest mean peak ${formatWhole(Math.max(...peaks))} N` : '';
  return `${taken} of ${verdict.readingsNeeded} readings${greatest}`;
}

function partWords({ removed, fitted }: Extract<StepValue, { kind: 'fit-part' }>): string {
  const facts = (...words: (string | undefined)[]) => {
    const said = words.filter((word) => word !== undefined && word !== '');
    return said.length > 0 ? ` (${said.join(', ')})` : '';
  };
  const serial = (part: { serial?: string }) => (part.serial ? `serial ${part.serial}` : undefined);
  const age = fitted?.ageCycles ? `used before for ${formatWhole(fitted.ageCycles)} cycles` : undefined;
  return [
    removed ? `removed${facts(reasonWord(removed.reason), serial(removed))}` : '',
    fitted ? `fitted${facts(serial(fitted), age)}` : '',
  ].filter(Boolean).join(', ');
}

function reasonWord(reason: string): string {
  return Object.hasOwn(removalWords, reason) ? removalWords[reason as keyof typeof removalWords].toLowerCase() : reason;
}
