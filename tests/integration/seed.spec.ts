import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { FAULT_KINDS, unwrap, type CounterSpan, type RawReading, type Verdict } from '@lintel/engine';
import { faultSummary, faultTrends, projectCompany, seedDemo, verifyPassword, type SeededDemo, type SeedOptions } from '@lintel/store';
import { openTestDatabase, type TestDatabase } from '../support/testDatabase.js';

const NOW = Date.parse('2026-11-25T09:00:00Z');
const options: SeedOptions = { seed: 7, password: 'a demo password', now: NOW };

describe('the demo scenario', () => {
  let database: TestDatabase;
  let demo: SeededDemo;

  beforeAll(async () => {
    database = await openTestDatabase();
    demo = await seedDemo(database.store, options);
  });
  afterAll(() => database.drop());

  const rows = async <Row>(sql: string, values: unknown[] = [demo.companyId]): Promise<Row[]> =>
    (await database.owner.query(sql, values)).rows as Row[];
  const count = async (sql: string): Promise<number> => Number((await rows<{ n: string }>(`SELECT count(*) AS n FROM ${sql}`))[0]!.n);

  it('is a company with three owners, a dozen sites in their own zones and some 140 doors', async () => {
    expect(demo).toMatchObject({ created: true, doors: 140 });
    expect(await count('owner WHERE company_id = $1')).toBe(3);
    expect(await count('site WHERE company_id = $1')).toBe(12);
    expect(await count('door WHERE company_id = $1')).toBe(140);
    const zones = await rows<{ time_zone: string }>('SELECT DISTINCT time_zone FROM site WHERE company_id = $1');
    expect(zones.length).toBeGreaterThanOrEqual(10);
    for (const { time_zone: timeZone } of zones) expect(Intl.supportedValuesOf('timeZone')).toContain(timeZone);
    expect(await count('reading WHERE company_id = $1')).toBe(demo.readings);
    expect(await count('fitted_part WHERE company_id = $1 AND removed_at IS NULL')).toBe(
      await count('door d JOIN position p ON p.company_id = d.company_id AND p.door_type_id = d.door_type_id WHERE d.company_id = $1'),
    );
  });

  it('has a sign-in for each role, with the password that was given', async () => {
    expect(Object.fromEntries(demo.signIns.map(({ role, email }) => [role, email]))).toEqual({
      administrator: 'admin@demo.example', owner: 'owner@demo.example', planner: 'planner@demo.example', technician: 'technician@demo.example',
    });
    const [account] = await rows<{ password_hash: string }>(`SELECT password_hash FROM account WHERE company_id = $1 AND role = 'planner'`);
    expect(account!.password_hash).toMatch(/^\$argon2id\$/);
    expect(await verifyPassword(account!.password_hash, 'a demo password')).toBe(true);
    expect(await verifyPassword(account!.password_hash, 'another password')).toBe(false);
  });

  it('has instruments of every standing of calibration, and a competence that has ended', async () => {
    // The views look at today; the history ends at NOW.
    const calibrations = await rows<{ kind: string; left: number }>(
      `SELECT i.kind, c.due_on - '2026-11-25'::date AS left FROM calibration c JOIN instrument i ON i.id = c.instrument_id WHERE c.company_id = $1 ORDER BY 2`,
    );
    expect(calibrations.filter(({ kind }) => kind === 'force_gauge').map(({ left }) => left)).toEqual([35, 245]);
    expect(calibrations[0]!.left).toBeLessThan(0);
    const ended = await rows<{ role: string }>(
      `SELECT a.role FROM competence c JOIN account a ON a.id = c.account_id WHERE c.company_id = $1 AND c.valid_until < '2026-11-25'`,
    );
    expect(ended).toEqual([{ role: 'planner' }]);
  });

  it('holds every trouble that counters give', async () => {
    const counters = await rows<{ id: string; door_id: string; modulus: string | null; start_cycles: string; fitted: number; removed: number | null }>(
      `SELECT id, door_id, modulus, start_cycles, (extract(epoch FROM fitted_at) * 1000)::float8 AS fitted,
         (extract(epoch FROM removed_at) * 1000)::float8 AS removed FROM counter WHERE company_id = $1 ORDER BY door_id, fitted_at`,
    );
    const readings = await rows<{ door_id: string; counter_id: string; at: number; value: string }>(
      `SELECT door_id, counter_id, (extract(epoch FROM at) * 1000)::float8 AS at, value FROM reading WHERE company_id = $1`,
    );
    const doorsWith = new Map<Verdict, Set<string>>();
    for (const doorId of new Set(counters.map((counter) => counter.door_id))) {
      const own = counters.filter((counter) => counter.door_id === doorId);
      const spans: CounterSpan[] = own.map((counter) => ({
        from: counter.fitted, to: counter.removed, modulus: counter.modulus === null ? null : Number(counter.modulus),
        startCycles: Number(counter.start_cycles), startValue: 0,
      }));
      const raw: RawReading[] = readings.filter((reading) => reading.door_id === doorId)
        .map(({ at, value, counter_id }) => ({ at, value: Number(value), counter: own.findIndex(({ id }) => id === counter_id) }));
      for (const verdict of unwrap(raw, spans, { minCycleSeconds: 5 }).verdicts) {
        doorsWith.set(verdict, (doorsWith.get(verdict) ?? new Set()).add(doorId));
      }
    }
    for (const verdict of ['used', 'used-rollover', 'used-reset', 'mistyped', 'stuck', 'out-of-order'] as const) {
      expect(doorsWith.get(verdict)?.size ?? 0, verdict).toBeGreaterThan(0);
    }
    expect(await count(`(SELECT door_id FROM counter WHERE company_id = $1 GROUP BY door_id HAVING count(*) = 2) AS twice`)).toBeGreaterThan(0);
    const read = new Set(readings.map((reading) => reading.door_id));
    expect(counters.some((counter) => !read.has(counter.door_id))).toBe(true);
  });

  it('holds early failures, overdue inspections, a door out of service and one that is gone', async () => {
    expect(await count(`fitted_part WHERE company_id = $1 AND removal_reason = 'failed' AND note LIKE 'Failed far too early%'
      AND removed_at - fitted_at < interval '120 days'`)).toBeGreaterThan(0);
    expect(await count(`door WHERE company_id = $1 AND state = 'out_of_service' AND state_reason IS NOT NULL`)).toBeGreaterThan(0);
    expect(await count(`door WHERE company_id = $1 AND state = 'decommissioned'`)).toBeGreaterThan(0);
    const overdue = await rows<{ door_id: string }>(
      `SELECT DISTINCT d.id AS door_id FROM door d JOIN plan p ON p.company_id = d.company_id AND p.door_type_id = d.door_type_id
       JOIN task t ON t.company_id = d.company_id AND t.plan_id = p.id AND t.safety
       WHERE d.company_id = $1 AND d.state = 'in_service' AND NOT EXISTS (SELECT FROM completion c WHERE c.company_id = d.company_id
         AND c.door_id = d.id AND c.task_id = t.id AND c.done_at + make_interval(months => t.interval_months) > $2)`,
      [demo.companyId, new Date(NOW)],
    );
    // Few enough that an overdue inspection is news.
    expect(overdue.length).toBeGreaterThan(0);
    expect(overdue.length).toBeLessThan(10);
  });

  it('says nothing of what has not happened yet', async () => {
    expect(await count(`reading WHERE company_id = $1 AND at > '${new Date(NOW).toISOString()}'`)).toBe(0);
    expect(await count(`completion WHERE company_id = $1 AND done_at > '${new Date(NOW).toISOString()}'`)).toBe(0);
    expect(await count(`fitted_part WHERE company_id = $1 AND greatest(fitted_at, removed_at) > '${new Date(NOW).toISOString()}'`)).toBe(0);
  });

  it('holds a fault history: one door getting worse, and a fault that came back after its repair', async () => {
    const context = { companyId: demo.companyId, accountId: null, actor: 'test', ownerId: null };
    expect(await count('fault WHERE company_id = $1')).toBe(demo.faults);
    expect(await count(`fault WHERE company_id = $1 AND at > '${new Date(NOW).toISOString()}'`)).toBe(0);
    const kinds = await rows<{ kind: string }>('SELECT DISTINCT kind FROM fault_code WHERE company_id = $1');
    expect(kinds).toHaveLength(FAULT_KINDS.length);
    const now = new Date(NOW);
    const { trends, summary } = await database.store.withCompanySql(context, async (client) => ({
      trends: await faultTrends(client, context, {}, now), summary: await faultSummary(client, {}, now),
    }));
    const [worst, next] = trends.doors;
    expect(worst).toMatchObject({ doorName: 'F-02', siteName: 'Bergen Quay', trend: { verdict: 'worse' } });
    expect(worst!.trend.laplace!).toBeGreaterThan(next!.trend.laplace!);
    expect(trends.doors.filter(({ trend }) => trend.verdict === 'worse').length).toBeLessThan(8);
    expect(summary.repeats.lines.some(({ partName }) => partName === 'Roller bearings')).toBe(true);
    expect(summary.repeats.repeated).toBeLessThan(summary.repeats.judged / 2);
  });

  it('lets some fitted parts be worn, by what the maker says of them', async () => {
    const context = { companyId: demo.companyId, accountId: null, actor: 'test', ownerId: null };
    await projectCompany(database.store, context, { now: new Date(NOW) });
    const worn = await rows<{ door_id: string; rating_source: string }>(
      `SELECT o.door_id, p.rating_source FROM part_outlook o JOIN fitted_part f ON f.company_id = o.company_id AND f.id = o.fitted_part_id
       JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id WHERE o.company_id = $1 AND o.condition = 'worn'`,
    );
    const doors = new Set(worn.map((part) => part.door_id)).size;
    // Enough to act on, few enough that it is news.
    expect(doors).toBeGreaterThan(2);
    expect(doors).toBeLessThan(28);
    expect(new Set(worn.map((part) => part.rating_source))).toContain("maker's data sheet (invented for the demo)");
  });

  it('asks for its projection, and is not made twice', async () => {
    expect(await rows(`SELECT job FROM outbox WHERE company_id = $1 AND job LIKE 'project-%'`)).toEqual([{ job: 'project-company' }]);
    expect(await seedDemo(database.store, options)).toMatchObject({ created: false, companyId: demo.companyId });
    expect(await count('door WHERE company_id = $1')).toBe(140);
  });

  it('follows from its seed, and can be of any size in a company of its own', async () => {
    const made = async (name: string, seed: number) => {
      const other = await openTestDatabase();
      const result = await seedDemo(other.store, { ...options, seed, large: name === 'large', doors: 30, readingsPerDoor: 20 });
      const values = (await other.owner.query('SELECT value FROM reading ORDER BY door_id, at LIMIT 50')).rows;
      const emails = (await other.owner.query('SELECT email FROM account ORDER BY email')).rows.map((row) => row.email as string);
      await other.drop();
      return { result, values, emails };
    };
    const first = await made('large', 7);
    expect(first.result).toMatchObject({ created: true, doors: 30 });
    expect(first.emails[0]).toBe('large-admin@demo.example');
    const same = await made('large', 7);
    const { companyId: _one, ...counts } = first.result;
    expect(same.result).toMatchObject(counts);
    expect(same.values).toEqual(first.values);
    expect((await made('large', 8)).values).not.toEqual(first.values);
  });
});
