import { createPublicKey } from 'node:crypto';
import { canonicalText, certificateFileText } from '@lintel/contract';
import { certificateContent, forceFigures, defaultForceLimits, type ForceSample } from '@lintel/engine';
import { checkCertificate, sealCertificate } from '@lintel/store';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { inspectionAnswers, inventedFacts } from '../support/certificateFacts.js';
import { sealedFrom, testKey } from '../support/sealing.js';

describe('the content of a certificate', () => {
  it('is plain JSON: it comes back from its text as it was', () => {
    const content = certificateContent(inventedFacts());
    expect(JSON.parse(JSON.stringify(content))).toStrictEqual(content);
  });

  it('goes by the last answer of each step, and says what was not done', () => {
    const { order, ...facts } = inventedFacts();
    const answers = [{ stepId: 'beam', value: { kind: 'test-device' as const, outcome: 'failed' as const, positionId: 'p-beam' } }, ...inspectionAnswers()];
    expect(certificateContent({ ...facts, order: { ...order, answers } }).devices[0]!.outcome).toBe('passed');
    const without = answers.filter(({ stepId }) => stepId !== 'beam');
    expect(certificateContent({ ...facts, order: { ...order, answers: without } }).devices[0]).toMatchObject({ outcome: 'not-done', checks: [{ outcome: 'not-done' }] });
  });

  it('dates the inspection by the clock at the site', () => {
    const { order, site, ...facts } = inventedFacts();
    const late = { ...order, completedAt: '2026-03-31T23:30:00.000Z' };
    const dateIn = (timeZone: string) => certificateContent({ ...facts, order: late, site: { ...site, timeZone } }).inspectedOn;
    expect([dateIn('Europe/Oslo'), dateIn('America/Chicago')]).toEqual(['2026-04-01', '2026-03-31']);
  });

  it('takes the sooner of the task’s and the site’s interval, names its source, and never one that cycles put off', () => {
    const facts = inventedFacts();
    expect(certificateContent(facts).nextDue).toMatchObject({ on: '2027-11-02', months: 12 });
    const tight = certificateContent({ ...facts, regime: { months: 6, source: 'local rule' } });
    expect(tight.nextDue).toEqual({ on: '2027-05-02', months: 6, source: 'local rule' });
    expect(certificateContent({ ...facts, regime: { months: 24, source: 'local rule' } }).nextDue).toMatchObject({ on: '2027-11-02' });
    const two = [{ ...facts.tasks[0]!, intervalMonths: 24 }, { ...facts.tasks[0]!, intervalMonths: 3, intervalCycles: 1e6, source: 'quarterly' }];
    expect(certificateContent({ ...facts, tasks: two }).nextDue).toEqual({ on: '2027-02-02', months: 3, source: 'quarterly' });
    expect(certificateContent({ ...facts, order: { ...facts.order, passed: false } }).nextDue).toBeNull();
    expect(certificateContent({ ...facts, tasks: [] }).nextDue).toBeNull();
  });

  it('marks limits that were not read in the standard itself', () => {
    const { sources } = certificateContent(inventedFacts());
    expect(sources.length).toBeGreaterThan(0);
    for (const { source, status } of sources) expect([source, status]).toEqual([source, 'second-hand']);
  });

  it('thins a long curve without losing its peak or its ends', () => {
    const { order, ...facts } = inventedFacts();
    const given = inspectionAnswers();
    fc.assert(fc.property(fc.array(fc.float({ min: 0, max: 2000, noNaN: true, noDefaultInfinity: true }), { minLength: 2, maxLength: 3000 }), (forces) => {
      const curve: ForceSample[] = forces.map((newton, index) => ({ ms: index * 2, newton }));
      const figures = forceFigures(curve, defaultForceLimits);
      if ('refused' in figures) throw new Error(figures.refused);
      const answers = given.map((answer) => answer.value.kind === 'force-test'
        ? { ...answer, value: { ...answer.value, readings: [{ heightMm: 50, across: 'left' as const, ...figures, curve }] } } : answer);
      const [drawn] = certificateContent({ ...facts, order: { ...order, answers } }).forceTests[0]!.points[0]!.curves;
      expect(drawn!.recorded).toBe(curve.length);
      expect(drawn!.samples.length).toBeLessThanOrEqual(Math.min(curve.length, 242));
      expect(Math.max(...drawn!.samples.map(([, newton]) => newton))).toBe(Math.max(...forces));
      expect([drawn!.samples[0], drawn!.samples.at(-1)]).toEqual([[0, forces[0]], [2 * (forces.length - 1), forces.at(-1)]]);
      const times = drawn!.samples.map(([ms]) => ms);
      expect(times).toEqual([...times].sort((a, b) => a - b));
    }), { numRuns: 30 });
  });
});

describe('the seal', () => {
  const key = testKey();
  const sealed = sealedFrom(inventedFacts({ order: { ...inventedFacts().order, answers: inspectionAnswers().slice(0, -1) } }), key);
  const file = certificateFileText(sealed);

  it('holds for what was sealed, and names the key', () => {
    expect(checkCertificate(file)).toMatchObject({ faults: [], fingerprint: key.fingerprint });
    expect(checkCertificate(file, createPublicKey(key.publicKey)).faults).toEqual([]);
    expect(checkCertificate(file.trimEnd()).faults).toEqual([]);
  });

  it('breaks for every single byte that is another one', () => {
    const bytes = Buffer.from(file, 'utf8');
    // The line end is none of the certificate's.
    for (let place = 0; place < bytes.length - 1; place += 1) {
      const other = Buffer.from(bytes);
      other[place] = other[place]! ^ (1 << (place % 7));
      const { faults } = checkCertificate(other.toString('utf8'));
      if (faults.length === 0) throw new Error(`byte ${place} (${bytes.subarray(place - 10, place + 10).toString()}) may be changed`);
    }
    expect(checkCertificate(bytes.toString('utf8')).faults).toEqual([]);
  });

  it('says what does not fit', () => {
    const other = testKey();
    const another = sealedFrom(inventedFacts({ number: '20261102-0000-0000-0000-0000' }), key);
    const changed = { ...sealed, content: { ...sealed.content, passed: false } };
    expect(checkCertificate(certificateFileText(changed)).faults).toEqual(['hash-differs', 'signature-wrong']);
    expect(checkCertificate(certificateFileText({ ...sealed, seal: { ...sealed.seal, signature: another.seal.signature } })).faults).toEqual(['signature-wrong']);
    expect(checkCertificate(certificateFileText({ ...sealed, seal: { ...sealed.seal, publicKey: other.publicKey } })).faults).toEqual(['key-differs', 'signature-wrong']);
    expect(checkCertificate(file, createPublicKey(other.publicKey)).faults).toEqual(['other-key']);
    expect(checkCertificate(JSON.stringify(JSON.parse(file), null, 2)).faults).toEqual(['not-as-issued']);
    // A name that stands twice: readers differ on which of the two counts.
    expect(checkCertificate(file.replace('"passed":true', '"passed":false,"passed":true')).faults).toEqual(['not-as-issued']);
  });

  it('of a forger with a key of his own holds by itself, and not against the company’s key', () => {
    const forger = testKey();
    const forged = sealedFrom(inventedFacts(), forger);
    expect(checkCertificate(certificateFileText(forged))).toMatchObject({ faults: [], fingerprint: forger.fingerprint });
    expect(checkCertificate(certificateFileText(forged), createPublicKey(key.publicKey)).faults).toEqual(['other-key']);
  });

  it('is not made by a key that the content does not name', () => {
    expect(() => sealCertificate(certificateContent(inventedFacts()), key)).toThrow(/another key/);
  });

  it('is over the canonical text, whatever order the values came in', () => {
    const turned = Object.fromEntries(Object.entries(sealed.content).reverse());
    expect(canonicalText(turned)).toBe(canonicalText(sealed.content));
  });
});
