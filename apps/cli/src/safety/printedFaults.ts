import { certificateDate, resultWords } from '@lintel/contract';
import type { CertificateContent } from '@lintel/engine';

/**
 * Which of the chief facts the pages of a PDF do not say as its sealed record does: a page can be overprinted and leave the record
 * whole. Text alone is compared; what is only a picture is not seen.
 */
export function printedFaults(content: CertificateContent, text: string): string[] {
  const plain = (words: string): string => words.replaceAll(/\s+/g, '').toLowerCase();
  const printed = plain(text);
  const { number, door, site, person, inspectedOn, nextDue, passed } = content;
  const facts: [name: string, value: string][] = [
    ['number', number], ['result', resultWords(passed)], ['door', door.name], ['site', site.name], ['competent person', person.name],
    ['day of the inspection', certificateDate(inspectedOn)], ...(nextDue === null ? [] : [['next due date', certificateDate(nextDue.on)] as [string, string]]),
  ];
  const missing = facts.filter(([, value]) => !printed.includes(plain(value))).map(([name]) => name);
  const contradicted = passed && printed.includes(plain(resultWords(false))) && !missing.includes('result') ? ['result'] : [];
  return [...missing, ...contradicted];
}
