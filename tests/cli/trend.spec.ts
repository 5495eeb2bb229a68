import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { trendCommand } from '../../apps/cli/src/faults/trend.js';
import { InputError } from '../../apps/cli/src/inputError.js';
import { runCli, type CliRun } from '../support/runCli.js';

let folder: string;
let files = 0;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'lintel-trend-'));
});
afterAll(() => rm(folder, { recursive: true }));

async function fileOf(content: string): Promise<string> {
  const path = join(folder, `${(files += 1)}.csv`);
  await writeFile(path, content);
  return path;
}

async function trend(content: string, ...options: string[]): Promise<CliRun & { path: string }> {
  const path = await fileOf(content);
  return { ...(await runCli(['trend', path, ...options])), path };
}

const csv = (histories: readonly { end: number; events: readonly number[] }[]): string =>
  ['unit,at,end', ...histories.flatMap(({ end, events }, unit) => (events.length === 0 ? [`${unit},,${end}`] : events.map((at) => `${unit},${at},${end}`)))].join('\n');

/**
 * Valve seats of 41 diesel engines, days, 'end of observation: replacements'; Nelson & Doganaksoy (1989), Nelson (1995,
 * Technometrics 37); dataset valveSeat of R's survival 3.5-3.
 */
const valveSeats = [
  '761', '759', '667: 98', '667: 326 653 653', '665', '667: 84', '663: 87', '653: 646', '653: 92', '651', '650: 258 328 377 621',
  '648: 61 539', '644: 254 276 298 640', '642: 76 538', '641: 635', '649: 349 404 561', '631', '596', '614: 120 479', '582: 323 449',
  '589: 139 139', '593', '589: 573', '606: 165 408 604', '594: 249', '613: 344 497', '595: 265 586', '389: 166 206 348', '601',
  '601: 410 581', '611', '608', '587', '603: 367', '585: 202 563 570', '587', '578', '578', '586', '585', '582',
].map((line) => {
  const [end, events = ''] = line.split(': ');
  return { end: Number(end), events: events.split(' ').filter(Boolean).map(Number) };
});

describe('lintel trend', () => {
  it('finds the pooled trend of the valve seats: Laplace as computed in R, power law as Meeker & Escobar (1998, chapter 16) print it', async () => {
    const { code, stdout, stderr } = await trend(csv(valveSeats), '--json');
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    const answer = JSON.parse(stdout) as Record<string, number | string>;
    expect(Object.keys(answer)).toEqual(['laplace', 'pValue', 'shape', 'intensityScale', 'verdict']);
    expect(answer['laplace']).toBeCloseTo(2.378693, 4);
    expect(answer['shape']).toBeCloseTo(1.3995793, 4);
    expect(Number(answer['intensityScale']) / 553.643).toBeCloseTo(1, 4);
    expect(answer['verdict']).toBe('worse');
  });

  it('finds no trend in the repairs of one system: NIST/SEMATECH e-Handbook, sections 8.2.2.3 and 8.4.5.2', async () => {
    const system = { end: 1500, events: [5, 40, 43, 175, 389, 712, 747, 795, 1299, 1478] };
    const { code, stdout } = await trend(csv([system]), '--json');
    expect(code).toBe(0);
    const answer = JSON.parse(stdout) as Record<string, number | string>;
    expect(answer['laplace']).toBeCloseTo(-1.326949, 4);
    expect(answer['pValue']).toBeCloseTo(0.18453, 4);
    expect(answer['shape']).toBeCloseTo(0.5372289, 4);
    // Expected events by age t are 0.1966582 t^0.5372289 there.
    expect(Number(answer['intensityScale']) ** -Number(answer['shape'])).toBeCloseTo(0.1966582, 4);
    expect(answer['verdict']).toBe('steady');
  });

  it('reads columns in any order and other columns beside them, and says the same in words', async () => {
    const { code, stdout } = await trend('note;End;AT;Unit\nx;100;90;A\nx;100;95;A\n;100;97;A\n;100;99;A\n');
    expect(code).toBe(0);
    expect(stdout).toMatch(/^getting worse: more and more often \(4 events of 1 unit\)\nLaplace's z /);
  });

  it('says too little of a unit without an event', async () => {
    const { code, stdout } = await trend('unit,at,end\nA,,100\n', '--json');
    expect(code).toBe(0);
    expect(JSON.parse(stdout)).toEqual({ laplace: null, pValue: null, shape: null, intensityScale: null, verdict: 'too-little' });
  });

  it.each([
    ['unit,at\nA,1\n', /: line 1: needs one column 'end'; the file has unit, at$/],
    ['unit,at,end\nA,1,9\nA,x,9\n', /: line 3: at: must be a number, is 'x'$/],
    ['unit,at,end\nA,1,9\nA,10,9\n', /: line 3: at: must be above 0 and up to the end 9, is 10$/],
    ['unit,at,end\nA,0,9\n', /: line 2: at: must be above 0/],
    ['unit,at,end\nA,1,0\n', /: line 2: end: must be above 0, is 0$/],
    ['unit,at,end\nA,1,Infinity\n', /: line 2: end: must be a number, is 'Infinity'$/],
    ['unit,at,end\nA,1,9\nB,1,9\nA,2,8\n', /: line 4: end: must be 9 as before for unit A, is 8$/],
    ['unit,at,end\n,1,9\n', /: line 2: unit: is empty$/],
    ['unit,at,end\nA,1\n', /: line 2: has 2 cells, the header has 3$/],
    ['unit,at,end\n', /: line 2: there is no row below the header$/],
    ['', /: the file is empty$/],
  ])('bad file %j: an input error of one line', async (content, message) => {
    const path = await fileOf(content);
    const thrown: unknown = await trendCommand().exitOverride().parseAsync([path], { from: 'user' }).catch((error: unknown) => error);
    expect(thrown).toBeInstanceOf(InputError);
    const text = (thrown as InputError).message;
    expect(text.startsWith(path)).toBe(true);
    expect(text).toMatch(message);
    expect(text).not.toContain('\n');
  });

  it('bad file: one line that names the file and its line, exit 2, nothing on standard output', async () => {
    const { code, stdout, stderr, path } = await trend('unit,at,end\nA,1,9\nA,x,9\n', '--json');
    expect({ code, stdout, stderr }).toEqual({ code: 2, stdout: '', stderr: `lintel trend: ${path}: line 3: at: must be a number, is 'x'\n` });
  });

  it('no such file: one line, exit 2', async () => {
    const { code, stderr } = await runCli(['trend', join(folder, 'nowhere.csv')]);
    expect(code).toBe(2);
    expect(stderr).toMatch(/^lintel trend: .*nowhere\.csv: cannot be read \(there is no such file\)\n$/);
  });
});
