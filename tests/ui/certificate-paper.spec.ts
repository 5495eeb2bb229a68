import { writeFileSync } from 'node:fs';
import { certificateFileText } from '@lintel/contract';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { describe, expect, it } from 'vitest';
import { certificatePaper } from '../../apps/api/src/safety/certificatePaper.js';
import { inspectionAnswers, inventedFacts } from '../support/certificateFacts.js';
import { pdfPages } from '../support/pdf.js';
import { codesIn } from '../support/pdfCodes.js';
import { sealedFrom } from '../support/sealing.js';

const address = (number: string): string => `https://doors.example/certificates/${number}`;

/** `LINTEL_KEEP_PDF` names a folder in which the papers are left, to be looked at. */
async function paperOf(sealed: ReturnType<typeof sealedFrom>, name: string): Promise<Buffer> {
  const file = await certificatePaper(sealed, address(sealed.content.number));
  if (process.env['LINTEL_KEEP_PDF']) writeFileSync(`${process.env['LINTEL_KEEP_PDF']}/${name}.pdf`, file);
  return file;
}

async function attachedTo(file: Buffer): Promise<string[]> {
  const task = getDocument({ data: new Uint8Array(file), verbosity: 0 });
  const found = (await (await task.promise).getAttachments()) as Record<string, { content: Uint8Array }>;
  await task.destroy();
  return Object.values(found).map(({ content }) => Buffer.from(content).toString('utf8'));
}

describe('a certificate on paper', () => {
  it('says all that its content says, and carries it; read back by pdf.js', async () => {
    const sealed = sealedFrom(inventedFacts());
    const file = await paperOf(sealed, 'passed');
    const pages = await pdfPages(file);
    const text = pages.join(' ');
    for (const words of [
      'Certificate of safety inspection', 'PASSED', 'Next inspection due 2 November 2027', 'Nordfrost Tür & Tor Service', 'Bjørnsund Fryselager', 'SN-20311',
      '3000 mm wide, 3500 mm high', '412: Yearly safety inspection', 'Łukasz Testowy', 'Course for powered doors, no. 881', 'valid until 30 April 2028',
      'Dents in the left side guide', 'Safety beam (light beam): passed', 'interrupt the beam', 'Edge replaced last year', 'at most 2 %', 'passed: 1.2 %',
      'Gauge 2, Invented Instruments, K-25', 'G-77', '2 March 2026, Invented Laboratory', 'C-2026-118', 'EN 12453, version 1', '266 / 400', '155 / 750',
      'Åse Bjørnsund', 'had not come in when this was issued', 'second hand: confirm against the standard', 'Local codes, the maker’s manual', address(sealed.content.number),
    ]) expect(text).toContain(words);
    for (const [index, page] of pages.entries()) expect(page).toContain(`Page ${index + 1} of ${pages.length}`);
    expect(text).not.toContain('NOT PASSED');
    expect(await attachedTo(file)).toEqual([certificateFileText(sealed)]);
  });

  it('has a code that leads to its public page, as jsQR reads it', async () => {
    const sealed = sealedFrom(inventedFacts());
    expect(codesIn(await certificatePaper(sealed, address(sealed.content.number)))).toEqual([address(sealed.content.number)]);
  });

  it('that was not passed says so first; nothing of long texts is lost; in the units of the site', async () => {
    const facts = inventedFacts();
    const remark = Array.from({ length: 600 }, (_, n) => `rq${n}`).join(' ');
    const found = Array.from({ length: 600 }, (_, n) => `fq${n}`).join(' ');
    const sealed = sealedFrom({
      ...facts,
      site: { ...facts.site, name: 'A very long name of a site '.repeat(8).trim(), units: 'us', timeZone: 'America/Chicago' },
      order: { ...facts.order, passed: false, answers: inspectionAnswers({ beamRemark: remark, extraNewton: 300 }) },
      findings: [{ severity: 'unsafe', text: found, positionId: 'p-beam', foundAt: facts.issuedAt }],
    });
    const file = await paperOf(sealed, 'not-passed');
    const pages = await pdfPages(file);
    const text = pages.join(' ');
    expect(pages[0]).toContain('NOT PASSED');
    // 3000 mm and 400 N in inches and pounds of force: 25.4 mm, 4.4482 N (NIST SP 811, appendix B).
    for (const words of ['118.1 in (3000 mm) wide', 'Peak, lbf', '/ 89.9', '89.9 lbf (400 N)', 'FAILED: peak too high', 'Safety beam (light beam): FAILED', 'To be put right and tested again']) expect(text).toContain(words);
    expect(text).not.toContain('Next inspection due');
    expect(text.match(/\brq\d+\b/g)).toEqual(remark.split(' '));
    expect(text.match(/\bfq\d+\b/g)).toEqual(found.split(' '));
  });

  it('is the same file for the same certificate', async () => {
    const sealed = sealedFrom(inventedFacts());
    const [one, other] = [await certificatePaper(sealed, address('x')), await certificatePaper(sealed, address('x'))];
    expect(other.equals(one)).toBe(true);
  });
});
