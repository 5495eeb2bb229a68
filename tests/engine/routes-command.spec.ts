import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { routeAnswer } from '@lintel/contract';
import type { RouteProblem } from '@lintel/engine';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { routeCommand } from '../../apps/cli/src/routes/route.js';
import { checkPlan } from './routesChecker.js';

const problem: RouteProblem = {
  travelMinutes: [[0, 10, 20], [12, 0, 9.5], [18, 11, 0]],
  technicians: [
    { id: 'ada', home: 0, skills: ['mains'], shifts: [{ from: 0, to: 100 }, { from: 1440, to: 1540 }], fixedCost: 3 },
  ],
  stops: [
    { id: 'a', place: 1, minutes: 30, skills: [], windows: [{ from: 0, to: 2000 }] },
    { id: 'b', place: 2, minutes: 30, skills: ['mains'], windows: [{ from: 1450, to: 1470 }, { from: 1500, to: 1510 }], latePrice: { after: 700, perMinute: 0.1 } },
    { id: 'c', place: 2, minutes: 30, skills: ['ammonia'], windows: [] },
    { id: 'd', place: 2, minutes: 10, skills: [], windows: [], unservedPrice: 1 },
  ],
};

let folder: string;
beforeAll(() => void (folder = mkdtempSync(join(tmpdir(), 'routes-'))));
afterAll(() => rmSync(folder, { recursive: true }));

/** Runs the command in this process and catches what it prints and how it would exit. */
async function run(content: string, ...options: string[]): Promise<{ out: string; err: string; exitCode: number }> {
  const file = join(folder, 'problem.json');
  writeFileSync(file, content);
  let out = '';
  let err = '';
  const write = vi.spyOn(process.stdout, 'write').mockImplementation((text) => ((out += String(text)), true));
  const command = routeCommand().exitOverride();
  command.configureOutput({ writeErr: (text) => void (err += text) });
  try {
    await command.parseAsync([file, ...options], { from: 'user' });
    return { out, err, exitCode: 0 };
  } catch (error) {
    if (error instanceof Error && 'exitCode' in error) return { out, err, exitCode: Number(error.exitCode) };
    throw error;
  } finally {
    write.mockRestore();
  }
}

test('prints a plan that can be driven, as JSON and to read', async () => {
  const json = await run(JSON.stringify(problem), '--seconds', '0.05', '--seed', '3', '--json');
  expect(json).toMatchObject({ err: '', exitCode: 0 });
  const answer = routeAnswer.parse(JSON.parse(json.out));
  expect(Object.keys(answer)).toEqual(['cost', 'travel', 'unserved', 'routes', 'iterations', 'seconds']);
  expect(checkPlan(problem, answer)).toEqual([]);
  expect(answer.unserved).toContainEqual({ id: 'c', reason: 'no-skill' });
  const plain = await run(JSON.stringify(problem), '--seconds', '0.05');
  expect(plain.out).toContain('ada, shift 1');
  expect(plain.out).toContain('c: nobody has the skills');
});

type Path = (string | number)[];

/** Sets one field in a copy of the problem (undefined: takes it out) and hands back the one line of complaint. */
async function complaint(path: Path, value: unknown): Promise<string> {
  const copy = structuredClone(problem);
  const parent = path.slice(0, -1).reduce<unknown>((part, key) => Reflect.get(part as object, key), copy);
  Reflect.set(parent as object, path.at(-1)!, value);
  const { out, err, exitCode } = await run(JSON.stringify(copy), '--seconds', '0.01', '--json');
  expect({ out, exitCode, lines: err.trim().split('\n').length }).toEqual({ out: '', exitCode: 2, lines: 1 });
  return err;
}

test('bad input: one line that names the field, and exit code 2', async () => {
  const cases: [Path, unknown, string][] = [
    [['stops', 3, 'windows'], [{ from: 'x', to: 5 }], 'stops[3].windows[0].from: '],
    [['stops', 1, 'windows', 1, 'from'], 1511, 'stops[1].windows[1].from: must not be after'],
    [['stops', 0, 'place'], 3, 'stops[0].place: names place 3'],
    [['stops', 0, 'minutes'], -1, 'stops[0].minutes: '],
    [['stops', 0, 'latePrise'], {}, 'stops[0].latePrise: is not a field known here'],
    [['technicians'], undefined, 'technicians: '],
    [['technicians', 0, 'shifts', 1, 'to'], null, 'technicians[0].shifts[1].to: '],
    [['travelMinutes', 2], [18, 11], 'travelMinutes[2]: has 2 columns, but there are 3 places'],
    [['travelCost'], [[0]], 'travelCost: has 1 rows'],
    [['stops', 3, 'id'], 'a', "stops[3].id: 'a' is there twice"],
    [['stops', 2, 'fixed'], { technician: 'ada', shift: 0 }, "stops[2].fixed: stop 'c' does not fit"],
  ];
  for (const [path, value, expected] of cases) expect(await complaint(path, value)).toContain(expected);
});

test('what is no JSON, no file, no number', async () => {
  expect(await run('{\n "stops": [\n', '--json')).toMatchObject({ exitCode: 2, err: expect.stringContaining('not valid JSON') });
  expect(await run('{\n "stops": oops }')).toMatchObject({ exitCode: 2, err: expect.stringContaining('line 2, column 11: ') });
  expect(await run('[]')).toMatchObject({ exitCode: 2, err: expect.stringContaining('the file: ') });
  const text = JSON.stringify(problem);
  expect(await run(text, '--seconds', 'soon')).toMatchObject({ exitCode: 2, err: expect.stringContaining('--seconds: ') });
  expect(await run(text, '--seconds', '-1')).toMatchObject({ exitCode: 2, err: expect.stringContaining('--seconds: ') });
  expect(await run(text, '--seed', '1.5')).toMatchObject({ exitCode: 2, err: expect.stringContaining('--seed: ') });
  const missing = routeCommand().exitOverride().configureOutput({ writeErr: () => undefined });
  const asked = missing.parseAsync([join(folder, 'missing.json')], { from: 'user' });
  await expect(asked).rejects.toMatchObject({ exitCode: 2, message: expect.stringContaining('ENOENT') });
});
