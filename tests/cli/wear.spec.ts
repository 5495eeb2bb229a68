import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { bearingLives, nistUnits, off } from '../published/wearLists.js';
import { runCli } from '../support/runCli.js';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'lintel-cli-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

const fileOf = (text: string): string => {
  const file = join(folder, 'lives.csv');
  writeFileSync(file, text);
  return file;
};
const fit = async (text: string) => {
  const run = await runCli(['fit', fileOf(text), '--json']);
  expect(run).toMatchObject({ code: 0, stderr: '' });
  return JSON.parse(run.stdout);
};

const nistFile = `age,event\n${[...nistUnits.age].map((age, i) => `${age},${nistUnits.event[i]}\n`).join('')}`;

describe('lintel fit', () => {
  it('finds what NIST prints for its 20 units (e-Handbook, 8.4.1.3; not fully converged there) and R with full precision', async () => {
    const answer = await fit(nistFile);
    expect(Object.keys(answer)).toEqual([
      'shape', 'scale', 'shapeError', 'scaleError', 'shapeInterval', 'scaleInterval', 'b10', 'b10Interval', 'logLikelihood', 'failures', 'suspensions',
    ]);
    expect(Math.abs(answer.shape - 1.7208)).toBeLessThan(1e-4);
    expect(off(answer.shape, 1.7207973)).toBeLessThan(1e-6);
    expect(off(answer.scale, 606.52756)).toBeLessThan(1e-6);
    expect(off(answer.shapeError, 0.5021506)).toBeLessThan(1e-3);
    expect(off(answer.shapeInterval[0], 0.905645)).toBeLessThan(1e-3);
    expect(off(answer.shapeInterval[1], 2.885738)).toBeLessThan(1e-3);
    expect([answer.failures, answer.suspensions]).toEqual([10, 10]);
  });

  it('counts late entries: 23 ball bearings (Lieblein & Zelen 1956) entered at 0, 15, 30 in turn, observed to 100', async () => {
    // Constructed from the published list; the figures are those of a conditional likelihood maximised in R.
    const rows = bearingLives.map((age, i) => `${Math.min(age, 100)},${age > 100 ? 0 : 1},${[0, 15, 30][i % 3]}\n`);
    const answer = await fit(`age,event,entry\n${rows.join('')}`);
    expect(off(answer.shape, 1.9533278)).toBeLessThan(1e-4);
    expect(off(answer.scale, 77.130582)).toBeLessThan(1e-4);
    expect(off(answer.b10, 24.371914)).toBeLessThan(1e-4);
    expect(off(answer.logLikelihood, -90.77863)).toBeLessThan(1e-4);
    expect(answer.failures).toBe(18);
  });

  it('answers people with a table', async () => {
    const run = await runCli(['fit', fileOf(nistFile)]);
    expect(run).toMatchObject({ code: 0, stderr: '' });
    expect(run.stdout).toMatch(/^10 failures, 10 suspensions; log-likelihood -75\.1/);
    expect(run.stdout).toMatch(/shape +1\.7208 +0\.50\d+ +0\.9056\d+ to 2\.8857\d+/);
  });

  it.each([
    ['age,event\n5,1\n-1,0\n', /line 3: age: must be a number of at least 0, is "-1"/],
    ['age,event\n5,1\n0,1\n', /line 3: age: must be above 0 for a failure/],
    ['age,event\n5,yes\n', /line 2: event: must be 1 \(failed\) or 0/],
    ['age,event,entry\n5,1,6\n', /line 2: entry: must be a number from 0 to the age/],
    ['age\n5\n', /line 1: there is no column event/],
    ['age,event\n', /holds no lives/],
    ['age,event\n5,1\n7,0\n', /holds fewer than two failures/],
    ['age,event\n5,1\n5,1\n', /all parts fail at one age/],
  ])('names what is wrong in %j with one line and exit code 2', async (text, message) => {
    const run = await runCli(['fit', fileOf(text), '--json']);
    expect(run).toMatchObject({ code: 2, stdout: '' });
    expect(run.stderr).toMatch(message);
    expect(run.stderr.trim().split('\n')).toHaveLength(1);
  });
});

describe('lintel renewal', () => {
  const renewal = (shape: number, scale: number, planned: number, failure: number) =>
    runCli(['renewal', '--shape', `${shape}`, '--scale', `${scale}`, '--planned-cost', `${planned}`, '--failure-cost', `${failure}`, '--json']);

  // Age replacement of least cost (Barlow & Proschan 1965), solved in R to full precision.
  it.each([
    [2.5, 1000, 1, 5, 493.047, 0.003462043],
    [2, 1, 1, 10, 0.336451, 6.056121],
  ])('shape %d, scale %d, costs %d and %d: age %d at %d', async (shape, scale, planned, failure, age, rate) => {
    const run = await renewal(shape, scale, planned, failure);
    expect(run).toMatchObject({ code: 0, stderr: '' });
    const answer = JSON.parse(run.stdout);
    expect(off(answer.age, age)).toBeLessThan(1e-5);
    expect(off(answer.costRate, rate)).toBeLessThan(1e-6);
  });

  it('says that nothing is worth replacing without wear-out, or where a failure costs no more', async () => {
    expect(JSON.parse((await renewal(1, 1000, 1, 5)).stdout)).toEqual({ age: null, costRate: null, reason: 'no-wear-out' });
    expect(JSON.parse((await renewal(3, 1000, 5, 5)).stdout)).toEqual({ age: null, costRate: null, reason: 'failure-no-dearer' });
  });

  it.each([
    [['--shape', '0', '--scale', '1', '--planned-cost', '1', '--failure-cost', '2'], /--shape: must be a number above 0, is '0'/],
    [['--shape', '2', '--scale', 'x', '--planned-cost', '1', '--failure-cost', '2'], /--scale: must be a number above 0, is 'x'/],
    [['--shape', '2', '--scale', '1', '--planned-cost', '1'], /--failure-cost/],
  ])('answers %j with one line and exit code 2', async (words, message) => {
    const run = await runCli(['renewal', ...words]);
    expect(run).toMatchObject({ code: 2, stdout: '' });
    expect(run.stderr).toMatch(message);
    expect(run.stderr.trim().split('\n')).toHaveLength(1);
  });
});
