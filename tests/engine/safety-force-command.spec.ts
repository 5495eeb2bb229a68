import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { forceCommand } from '../../apps/cli/src/safety/force.js';

let folder = '';
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'lintel-force-'));
});
afterAll(() => rm(folder, { recursive: true }));

/** Runs the command as a shell would, without a process of its own. */
async function run(...parameters: string[]): Promise<{ exitCode: number; out: string; error: string }> {
  let [out, error] = ['', ''];
  const stdout = vi.spyOn(process.stdout, 'write').mockImplementation((chunk) => {
    out += String(chunk);
    return true;
  });
  const command = forceCommand().exitOverride().configureOutput({ writeErr: (text) => void (error += text) });
  try {
    await command.parseAsync(parameters, { from: 'user' });
    return { exitCode: 0, out, error };
  } catch (thrown) {
    return { exitCode: (thrown as { exitCode: number }).exitCode, out, error };
  } finally {
    stdout.mockRestore();
  }
}

async function file(content: string): Promise<string> {
  const path = join(folder, `${Math.random()}.csv`);
  await writeFile(path, content);
  return path;
}

/** A straight rise from 0 at 100 ms to the peak at 150 ms, a straight fall to the plateau at 350 ms, released at 2 s. */
function csv(peak: number, plateau: number): string {
  const force = (ms: number) => {
    if (ms < 100 || ms >= 2000) return 0;
    if (ms < 150) return (peak * (ms - 100)) / 50;
    return ms < 350 ? peak + ((plateau - peak) * (ms - 150)) / 200 : plateau;
  };
  return `ms,newton\n${Array.from({ length: 1201 }, (_, index) => `${index * 5},${force(index * 5)}`).join('\n')}\n`;
}

describe('lintel force', () => {
  it('prints the figures, limits with sources, and the verdict', async () => {
    const answer = await run(await file(csv(350, 100)), '--gap', '300', '--json');
    expect(answer).toMatchObject({ exitCode: 0, error: '' });
    const json = JSON.parse(answer.out) as Record<string, unknown>;
    expect(Object.keys(json)).toEqual(['peak', 'dynamicMs', 'static', 'residual', 'limits', 'passed', 'reasons']);
    // 150 N is crossed at 100 + 150/7 ms and at 150 + 160 ms.
    expect(json).toMatchObject({ peak: 350, dynamicMs: 188.571, static: 100, residual: 0, passed: true, reasons: [] });
    expect(json['limits']).toMatchObject({ peak: 400, dynamicMs: 750, static: 150, residual: 25, version: 1 });
    const rows = (json['limits'] as { rows: { source: string; statusText: string }[] }).rows;
    expect(rows.map(({ statusText }) => statusText)).toEqual(rows.map(() => 'second hand: confirm against the standard'));
  });

  it('judges by the gap and by what the gauge stood between; not passed is an answer, not an error', async () => {
    const hard = await file(csv(700, 100));
    const judged = async (...more: string[]) => {
      const { exitCode, out } = await run(hard, '--json', ...more);
      expect(exitCode).toBe(0);
      const { passed, reasons } = JSON.parse(out) as { passed: boolean; reasons: { code: string; text: string }[] };
      return [passed, ...reasons.map(({ code }) => code)];
    };
    expect(await judged('--gap', '300')).toEqual([false, 'peak-too-high']);
    expect(await judged('--gap', '2500')).toEqual([false, 'peak-too-high']);
    expect(await judged('--gap', '2500', '--position', 'flat-areas')).toEqual([true]);
  });

  it('says the same for reading, with a caution', async () => {
    const { out } = await run(await file(csv(420, 160)), '--gap', '50');
    expect(out).toContain('NOT PASSED');
    expect(out).toContain('peak force 420 N is above 400 N');
    expect(out).toContain('static force 160 N is above 150 N');
    expect(out).toContain('confirm against the standard');
    expect(out).toContain('mean of three');
    expect((await run(await file(csv(350, 100)), '--gap', '50')).out).toMatch(/^passed$/m);
  });

  it.each([
    ['ms,newton\n0,1\n5,x\n', /: line 3: newton: must be a number, is 'x'$/],
    ['ms,newton\n0,1\n5,2\n3,2\n', /: line 4: ms: must be later than 5/],
    ['time,force\n0,1\n', /: line 1: needs one column 'ms'/],
    ['', /: line 1: the file is empty/],
  ])('bad file %j: one line, exit 2', async (content, message) => {
    const { exitCode, out, error } = await run(await file(content), '--gap', '300', '--json');
    expect({ exitCode, out }).toEqual({ exitCode: 2, out: '' });
    expect(error.trim()).toMatch(message);
    expect(error.trim().split('\n')).toHaveLength(1);
  });

  it.each([
    ['no such file', ['nowhere.csv', '--gap', '300'], /nowhere\.csv: cannot be read \(ENOENT\)/],
    ['a folder', ['.', '--gap', '300'], /cannot be read \(EISDIR\)/],
    ['a gap below 50 mm', ['nowhere.csv', '--gap', '49'], /--gap: must be a number of mm from 50 to/],
    ['a gap that is none', ['nowhere.csv', '--gap', 'wide'], /--gap: .* is 'wide'/],
    ['an empty gap', ['nowhere.csv', '--gap', ''], /--gap: .* is ''/],
    ['no gap', ['nowhere.csv'], /--gap: is needed/],
    ['an unknown place', ['nowhere.csv', '--gap', '300', '--position', 'above'], /--position: must be closing-edge or flat-areas, is 'above'/],
  ])('%s: one line, exit 2', async (_, parameters, message) => {
    const { exitCode, error } = await run(...parameters);
    expect(exitCode).toBe(2);
    expect(error.trim()).toMatch(message);
    expect(error.trim().split('\n')).toHaveLength(1);
  });

  it.each([
    ['no file', ['--gap', '300']],
    ['an unknown option', ['nowhere.csv', '--gap', '300', '--fast']],
  ])('%s: refused by the command line itself', async (_, parameters) => {
    const { exitCode, error } = await run(...parameters);
    expect(exitCode).toBeGreaterThan(0);
    expect(error).toMatch(/^error: /);
  });
});
