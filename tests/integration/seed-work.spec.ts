import { isSafetyCheck, type StepValue, type WorkStep } from '@lintel/engine';
import { seedDemo, type SeededDemo } from '@lintel/store';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openTestDatabase, type TestDatabase } from '../support/testDatabase.js';

const NOW = Date.parse('2026-11-25T09:00:00Z');
const options = { seed: 7, password: 'a demo password', now: NOW };

describe('the work of the demo', () => {
  let database: TestDatabase;
  let demo: SeededDemo;
  beforeAll(async () => {
    database = await openTestDatabase();
    demo = await seedDemo(database.store, options);
  });
  afterAll(() => database.drop());
  const rows = async (sql: string, ...more: unknown[]) => (await database.owner.query(sql, [demo.companyId, ...more])).rows;

  it('has orders in every state, some dozens under way, for today and the coming week, for several technicians', async () => {
    const states = Object.fromEntries((await rows('SELECT state, count(*)::int AS n FROM work_order WHERE company_id = $1 GROUP BY state')).map(({ state, n }) => [state, n]));
    expect(Object.keys(states).sort()).toEqual(['cancelled', 'completed', 'planned', 'released', 'reviewed', 'started']);
    expect(states['released'] + states['planned'] + states['started']).toBeGreaterThanOrEqual(24);
    const ahead = await rows(`SELECT DISTINCT planned_on::text AS day, technician_id FROM work_order WHERE company_id = $1 AND state = 'released' AND planned_on BETWEEN '2026-11-25' AND '2026-12-02'`);
    expect(new Set(ahead.map(({ day }) => day)).size).toBeGreaterThanOrEqual(5);
    expect(ahead.map(({ day }) => day)).toContain('2026-11-25');
    expect(new Set(ahead.map(({ technician_id: id }) => id)).size).toBeGreaterThan(1);
    expect(await rows('SELECT number FROM work_order WHERE company_id = $1 GROUP BY number HAVING count(*) > 1')).toEqual([]);
    expect((await rows('SELECT next_number FROM work_counter WHERE company_id = $1'))[0]!.next_number).toBe((await rows('SELECT max(number) AS n FROM work_order WHERE company_id = $1'))[0]!.n + 1);
  });

  it('has one unsafe door: out of service, with its corrective order for today, which tests it again', async () => {
    const found = await rows(
      `SELECT d.state, d.state_reason AS reason, o.state AS "orderState", o.planned_on::text AS day, o.technician_id IS NOT NULL AS assigned, o.steps
       FROM finding f JOIN door d ON d.id = f.door_id JOIN work_order o ON o.id = f.corrective_id JOIN work_retest r ON r.work_order_id = o.id AND r.finding_id = f.id
       WHERE f.company_id = $1 AND f.severity = 'unsafe' AND f.cleared_at IS NULL`,
    );
    expect(found).toMatchObject([{ state: 'out_of_service', orderState: 'released', day: '2026-11-25', assigned: true }]);
    expect(found[0]!.reason).toMatch(/^Unsafe: /);
    expect((found[0]!.steps as WorkStep[]).some((step) => step.kind === 'test-device')).toBe(true);
  });

  it('is consistent: what was completed is answered, passed only without a failed safety check, and in the books', async () => {
    const done = await rows(`SELECT id, steps, devices, passed, completion_id, task_id FROM work_order WHERE company_id = $1 AND state IN ('completed', 'reviewed') AND origin = 'due'`);
    expect(done.length).toBeGreaterThan(10);
    const answers = await rows('SELECT work_order_id AS of, step, value FROM work_answer WHERE company_id = $1 AND counts ORDER BY place');
    const commands = new Set((await rows('SELECT DISTINCT work_order_id AS of FROM device_command WHERE company_id = $1')).map(({ of }) => of));
    for (const order of done.filter(({ id }) => commands.has(id))) {
      const values = new Map<string, StepValue>(answers.filter(({ of }) => of === order.id).map(({ step, value }) => [step, value]));
      const steps = order.steps as WorkStep[];
      expect(steps.filter(({ id, optional }) => !optional && !values.has(id)).map(({ id }) => id)).toEqual([]);
      const failed = steps.some((step) => isSafetyCheck(step) && values.get(step.id)?.outcome === 'failed');
      expect(order.passed).toBe(!failed);
      const [completion] = await rows('SELECT task_id, passed FROM completion WHERE company_id = $1 AND id = $2', order.completion_id);
      expect(completion).toEqual({ task_id: order.task_id, passed: order.passed });
    }
    expect(await rows(`SELECT id FROM device_command WHERE company_id = $1 AND outcome <> 'applied'`)).toEqual([]);
    expect(await rows(`SELECT id FROM reading WHERE company_id = $1 AND at > $2`, new Date(NOW))).toEqual([]);
    expect(await rows(`SELECT id FROM work_order WHERE company_id = $1 AND greatest(created_at, released_at, started_at, completed_at, reviewed_at, cancelled_at) > $2`, new Date(NOW))).toEqual([]);
  });

  it('has certificates with recorded force curves, for whoever looks how they are drawn', async () => {
    const drawn = await rows(`SELECT count(*)::int AS n FROM certificate WHERE company_id = $1 AND content::text LIKE '%"recorded"%'`);
    expect(drawn[0]!.n).toBe(4);
  });

  it('comes once', async () => {
    const count = async () => (await rows('SELECT count(*)::int AS n FROM work_order WHERE company_id = $1'))[0]!.n;
    const before = await count();
    await seedDemo(database.store, options);
    expect(await count()).toBe(before);
  });
});
