import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runCli } from '../support/runCli.js';

const DAY_MS = 86_400_000;
const START = Date.parse('2026-01-01T06:00:00Z');

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'lintel-cli-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

const fileOf = (name: string, text: string): string => {
  const file = join(folder, name);
  writeFileSync(file, text);
  return file;
};
/** A door that makes exactly `perDay` cycles each day. */
const even = (days: number, perDay: number, shown = (cycles: number) => cycles): string =>
  'at,value\n' + Array.from({ length: days + 1 }, (_, day) => `${new Date(START + day * DAY_MS).toISOString()},${shown(day * perDay)}\n`).join('');

describe('lintel forecast', () => {
  it('goes on with an even count: cycles at each horizon and the date of the target follow by arithmetic', async () => {
    const file = fileOf('even.csv', even(90, 240));
    const run = await runCli(['forecast', file, '--days', '30,90', '--target', '36000', '--json']);
    expect(run).toMatchObject({ code: 0, stderr: '' });
    const answer = JSON.parse(run.stdout);
    expect(answer.asOf).toBe(new Date(START + 90 * DAY_MS).toISOString());
    expect(answer.lifetimeCycles).toBe(90 * 240);
    expect(answer.verdicts).toHaveLength(91);
    expect(new Set(answer.verdicts.map((each: { verdict: string }) => each.verdict))).toEqual(new Set(['used']));
    for (const { daysAhead, lifetimeCycles: { p10, p50, p90 } } of answer.horizons) {
      const truth = (90 + daysAhead) * 240;
      expect(p10).toBeLessThanOrEqual(p50);
      expect(p50).toBeLessThanOrEqual(p90);
      expect(Math.abs(p50 - truth) / (daysAhead * 240)).toBeLessThan(0.03);
      expect(p10).toBeLessThan(truth);
      expect(p90).toBeGreaterThan(truth);
    }
    // 36,000 cycles at 240 a day: day 150, that is 60 days on.
    expect(answer.target.lifetimeCycles).toBe(36_000);
    expect(Math.abs(answer.target.daysAhead.p50 - 60)).toBeLessThan(2);
    expect(answer.target.on.p10 <= answer.target.on.p50 && answer.target.on.p50 <= answer.target.on.p90).toBe(true);
    expect(Math.abs(Date.parse(answer.target.on.p50) - (START + 150 * DAY_MS))).toBeLessThan(3 * DAY_MS);
  });

  it('takes a fall at its modulus for a rollover, and says so', async () => {
    const file = fileOf('rolled.csv', even(60, 500, (cycles) => (cycles + 85_000) % 100_000));
    const plain = JSON.parse((await runCli(['forecast', file, '--json'])).stdout);
    expect(plain.lifetimeCycles).toBe(85_000 + 60 * 500);
    expect(plain.verdicts.filter((each: { verdict: string }) => each.verdict === 'used-rollover')).toHaveLength(1);
    const other = fileOf('other.csv', even(60, 500, (cycles) => (cycles + 25_000) % 40_000));
    const told = JSON.parse((await runCli(['forecast', other, '--modulus', '40000', '--json'])).stdout);
    expect(told.lifetimeCycles).toBe(25_000 + 60 * 500);
  });

  it('answers people with a table, naming each line that is not simply used', async () => {
    const lines = even(30, 240).split('\n');
    lines[15] = lines[15]!.replace(/,(\d+)$/, ',$19');
    const run = await runCli(['forecast', fileOf('typo.csv', lines.join('\n')), '--target', '20000']);
    expect(run.code).toBe(0);
    expect(run.stdout).toMatch(/^31 readings: 30 used, 1 mistyped\n {2}line 16 .* mistyped$/m);
    expect(run.stdout).toMatch(/P10 +P50 +P90/);
    expect(run.stdout).toMatch(/cycles in 30 days, 2026-03-02/);
    expect(run.stdout).toMatch(/20,000 cycles reached on +2026-\d\d-\d\d/);
  });

  it.each([
    ['a file that is not there', ['forecast', 'nowhere.csv'], /nowhere\.csv: cannot be read/],
    ['a bad horizon', ['forecast', 'FILE', '--days', '30,x'], /--days: must be a whole number .*'x'/],
    ['a bad target', ['forecast', 'FILE', '--target', '-5'], /--target/],
    ['a bad modulus', ['forecast', 'FILE', '--modulus', '1'], /--modulus/],
    ['a bad zone', ['forecast', 'FILE', '--time-zone', 'Mars/North'], /--time-zone: must be an IANA time zone/],
    ['a bad instant', ['forecast', 'FILE', '--as-of', 'soon'], /--as-of/],
    ['an unknown option', ['forecast', 'FILE', '--target-date', '1'], /unknown option/],
    ['no file', ['forecast'], /missing required argument/],
    ['an unknown command', ['foretell'], /unknown command/],
  ])('answers %s with one clear line and exit code 2', async (_what, words, message) => {
    const file = fileOf('good.csv', even(10, 100));
    const run = await runCli(words.map((word) => (word === 'FILE' ? file : word)));
    expect(run).toMatchObject({ code: 2, stdout: '' });
    expect(run.stderr).toMatch(message);
    expect(run.stderr.trim().split('\n')).toHaveLength(1);
  });

  it.each([
    ['at,value\n2026-01-01T00:00:00Z,5\n2026-01-02T00:00:00Z,many\n', /line 3: value: "many" is not a number/],
    ['at,value\n2026-01-01T00:00:00Z,5\nyesterday,6\n', /line 3: at: "yesterday" is not an instant/],
    ['at\n2026-01-01T00:00:00Z\n', /line 1: there is no column value/],
    ['at,value\n', /holds no readings/],
    ['', /the file is empty/],
    ['\u0000\u0001', /not text/],
  ])('names what is wrong in a file: %j', async (text, message) => {
    const run = await runCli(['forecast', fileOf('bad.csv', text)]);
    expect(run).toMatchObject({ code: 2, stdout: '' });
    expect(run.stderr).toMatch(message);
    expect(run.stderr.trim().split('\n')).toHaveLength(1);
  });

  it.each(['serve', 'import', 'forecast', 'project', 'route', 'force', 'check', 'seed'])('has help for %s', async (word) => {
    const run = await runCli([word, '--help']);
    expect(run).toMatchObject({ code: 0, stderr: '' });
    expect(run.stdout).toContain(`Usage: lintel ${word}`);
  });
});
