import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { certificateFileText } from '@lintel/contract';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { certificatePaper } from '../../apps/api/src/safety/certificatePaper.js';
import { printedFaults } from '../../apps/cli/src/safety/printedFaults.js';
import { inspectionAnswers, inventedFacts } from '../support/certificateFacts.js';
import { runCli } from '../support/runCli.js';
import { sealedFrom, testKey } from '../support/sealing.js';

let folder: string;
const key = testKey();
const sealed = sealedFrom(inventedFacts(), key);
const text = certificateFileText(sealed);

const kept = async (name: string, content: string | Buffer): Promise<string> => {
  const path = join(folder, name);
  await writeFile(path, content);
  return path;
};

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'lintel-verify-'));
  await kept('key.pem', key.publicKey);
});
afterAll(() => rm(folder, { recursive: true }));

describe('lintel verify', () => {
  it('says of a genuine file what it is, and by which key', async () => {
    const run = await runCli(['verify', await kept('good.json', text)]);
    expect(run).toMatchObject({ code: 0, stderr: '' });
    for (const words of ['genuine', sealed.content.number, 'Passed', 'F-03', '2 November 2026 by Łukasz Testowy', key.fingerprint.slice(0, 4), 'the enclosed key']) expect(run.stdout).toContain(words);
    const given = await runCli(['verify', join(folder, 'good.json'), '--key', join(folder, 'key.pem'), '--json']);
    expect(given.code).toBe(0);
    expect(JSON.parse(given.stdout)).toEqual([expect.objectContaining({ genuine: true, faults: [], keyGiven: true, keyFingerprint: key.fingerprint })]);
  });

  it('names what does not fit, and ends with 1', async () => {
    const changed = await runCli(['verify', await kept('changed.json', text.replace('"passed":true', '"passed":fals0'.replace('0', 'e'))), '--json']);
    expect(changed.code).toBe(1);
    expect(JSON.parse(changed.stdout)[0]).toMatchObject({ genuine: false, faults: [{ code: 'hash-differs' }, { code: 'signature-wrong' }] });
    const stranger = await runCli(['verify', join(folder, 'good.json'), '--key', await kept('other.pem', testKey().publicKey)]);
    expect(stranger.code).toBe(1);
    expect(stranger.stdout).toContain('signed by another key than the one given');
    expect(stranger.stderr).toMatch(/^lintel verify: .*does not hold\n$/);
  });

  it('takes the paper: the record inside, and whether its pages say the same', async () => {
    const good = await runCli(['verify', await kept('good.pdf', await certificatePaper(sealed, 'https://doors.example/certificates/x'))]);
    expect(good).toMatchObject({ code: 0, stderr: '' });
    expect(good.stdout).toContain('genuine');
    // Pages of a certificate that was not passed around the record of one that was.
    const facts = inventedFacts();
    const failed = sealedFrom({ ...facts, order: { ...facts.order, passed: false, answers: inspectionAnswers({ beamRemark: 'dead' }) } }, key);
    expect(printedFaults(sealed.content, 'nothing')).toContain('number');
    expect(printedFaults(failed.content, `${failed.content.number} PASSED door F-03`)).toContain('result');
    expect(printedFaults(sealed.content, `${sealed.content.number} NOT PASSED F-03`)).toContain('result');
  });

  it('takes a bundle, a certificate a line', async () => {
    const good = await runCli(['verify', await kept('two.jsonl', text + text), '--json']);
    expect([good.code, JSON.parse(good.stdout).length]).toEqual([0, 2]);
    const bad = await runCli(['verify', await kept('bad.jsonl', text + text.replace('F-03', 'F-04'))]);
    expect([bad.code, bad.stderr.includes('1 of 2 do not hold')]).toEqual([1, true]);
  });

  it('ends with 2 where it cannot read what it is given', async () => {
    const other = await kept('other.pdf', '%PDF-1.7\nnonsense');
    for (const words of [['missing.json'], [other], [join(folder, 'good.json'), '--key', join(folder, 'good.json')], []]) {
      const run = await runCli(['verify', ...words]);
      expect(run.code, words.join(' ')).toBe(2);
      expect(run.stderr.trim().split('\n')).toHaveLength(1);
    }
  });
});
