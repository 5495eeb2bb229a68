import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  dutyNodes, estimateDuty, nextDue, partOutlook, peerPrior, priorModel, unwrap,
  type CycleHistory, type DutyModel, type Unwrapped,
} from '@lintel/engine';
import { doorRanges, newId, noteOverdueInspections, projectCompany, projectDoors, type CompanyContext } from '@lintel/store';
import { DAY_MS, makeProjectionFleet, START, type ProjectionFleet } from '../support/projectionFleet.js';
import { openTestDatabase, type TestDatabase } from '../support/testDatabase.js';

const now = new Date(START + 320 * DAY_MS + 3_600_000);
const ZONE = 'Europe/Oslo';
const civil = (instant: number) => new Intl.DateTimeFormat('sv-SE', { timeZone: ZONE, dateStyle: 'short' }).format(instant);

/** The projection once more, by plain Prisma reads and the engine's functions, one door at a time. */
async function naive(database: TestDatabase, context: CompanyContext) {
  const doors = await database.store.withCompany(context, (db) =>
    db.door.findMany({
      where: { state: { not: 'decommissioned' } },
      include: {
        site: true, counters: { include: { readings: { include: { overrule: true } } } }, completions: true,
        doorType: { include: { plans: { include: { tasks: true } } } }, fittedParts: { include: { position: true } },
      },
    }),
  );
  const number = (value: bigint | null) => (value === null ? null : Number(value));
  const seen = doors.map((door) => {
    const readings = door.counters.flatMap((counter, index) =>
      counter.readings.map((reading) => ({
        id: reading.id, at: reading.at.getTime(), value: Number(reading.value), counter: index,
        ...(reading.overrule === null ? {} : { overruled: reading.overrule.use ? ('use' as const) : ('set-aside' as const) }),
      })),
    );
    const spans = door.counters.map((counter) => ({
      from: counter.fittedAt.getTime(), to: counter.removedAt?.getTime() ?? null, modulus: number(counter.modulus),
      startCycles: number(counter.startCycles), startValue: number(counter.startValue),
    }));
    return { door, readings, unwrapped: unwrap(readings, spans, { minCycleSeconds: Number(door.doorType.minCycleSeconds) }) };
  });
  const evidence = seen.map(({ unwrapped: { history } }) => counted(history));
  return seen.map(({ door, readings, unwrapped }, index) => {
    // Eight doors of one type at one site: each has the seven others as peers, if they have anything to say.
    const duty = estimateDuty(unwrapped.history, peerPrior(evidence.filter((peer, other) => other !== index && peer.days > 0)), now.getTime());
    const firstDay = door.installedOn.getTime();
    const at = (instant: number) => cyclesAt(unwrapped, duty, firstDay, instant);
    const parts = door.fittedParts
      .filter((part) => part.removedAt === null && (part.position.b10Cycles ?? part.position.b10Months) !== null)
      .map((part) => {
        const { b10Cycles, b10Months, lifeShape, shapeSpread, ratingSpread } = part.position;
        const rating = { b10Cycles: number(b10Cycles), b10Months, shape: Number(lifeShape ?? 2), shapeSpread: Number(shapeSpread ?? 0.3), ratingSpread: Number(ratingSpread ?? 0.5) };
        const age = b10Months === null
          ? Math.max(0, duty.lifetimeCycles - (number(part.fittedCycles) ?? at(part.fittedAt.getTime()))) + Number(part.ageAtFitting)
          : (now.getTime() - part.fittedAt.getTime()) / DAY_MS;
        return { id: part.id, age, outlook: partOutlook(priorModel(rating), age, dutyNodes(duty)) };
      });
    const items = door.doorType.plans.flatMap((plan) => plan.tasks).flatMap((task) => {
      const done = door.completions.filter((one) => one.taskId === task.id && one.passed).sort((a, b) => b.doneAt.getTime() - a.doneAt.getTime())[0];
      const basis = done === undefined
        ? { kind: 'in-service' as const, on: door.installedOn.toISOString().slice(0, 10), lifetimeCycles: 0 }
        : { kind: 'completion' as const, on: civil(done.doneAt.getTime()), lifetimeCycles: number(done.lifetimeCycles) ?? Math.round(at(done.doneAt.getTime())) };
      const rule = { ...task, intervalCycles: number(task.intervalCycles), fixedFrom: task.fixedFrom?.toISOString().slice(0, 10) ?? null };
      const item = nextDue(rule, basis, { timeZone: ZONE, today: civil(now.getTime()), regimeMonths: door.site.regimeMonths, duty });
      return 'none' in item ? [] : [{ taskId: task.id, safety: task.safety, item }];
    });
    return { door, readings, unwrapped, duty, parts, items };
  });
}

/** Cycles and days of the steps that were counted, within two years. */
function counted(history: CycleHistory) {
  const points = [...(history.start ? [{ ...history.start, estimated: 0 }] : []), ...Array.from(history.at, (at, k) => ({ at, cycles: history.cycles[k]!, estimated: history.estimated[k]! }))];
  let cycles = 0;
  let days = 0;
  for (let k = 1; k < points.length; k++) {
    if (points[k]!.estimated === 1) continue;
    cycles += points[k]!.cycles - points[k - 1]!.cycles;
    days += (points[k]!.at - points[k - 1]!.at) / DAY_MS;
  }
  return { cycles, days };
}

/** By looking through all known points. */
function cyclesAt({ history }: Unwrapped, duty: DutyModel, firstDay: number, instant: number): number {
  const points = [{ at: firstDay, cycles: 0 }, ...(history.start ? [history.start] : []), ...Array.from(history.at, (at, k) => ({ at, cycles: history.cycles[k]! })), { at: duty.asOf, cycles: duty.lifetimeCycles }];
  if (instant <= firstDay) return 0;
  const after = points.find((point) => point.at >= instant)!;
  const before = points.filter((point) => point.at < instant).at(-1)!;
  return before.cycles + ((after.cycles - before.cycles) * (instant - before.at)) / (after.at - before.at);
}

/** A row as `pg` gives it: what is in it the statement says. */
// oxlint-disable-next-line typescript/no-explicit-any
type Row = Record<string, any>;

describe('projection', () => {
  let database: TestDatabase;
  let context: CompanyContext;
  let fleet: ProjectionFleet;
  const rows = async (sql: string, values: unknown[] = []): Promise<Row[]> => (await database.owner.query(sql, values)).rows;

  beforeAll(async () => {
    database = await openTestDatabase();
    context = await database.newCompany();
    fleet = await makeProjectionFleet(database.store, context);
  });
  afterAll(() => database.drop());

  it('writes what the engine says of each door', async () => {
    const result = await projectCompany(database.store, context, { now });
    expect(result).toEqual({ projected: 8, decommissioned: 0, failed: [], cancelled: false });
    const expected = await naive(database, context);
    expect(expected).toHaveLength(8);
    for (const { door, duty, unwrapped, readings, parts, items } of expected) {
      const [stored] = await rows('SELECT model, lifetime_cycles, readings, set_aside, cycles_per_day FROM door_duty WHERE door_id = $1', [door.id]);
      for (const [name, value] of Object.entries(duty)) {
        if (typeof value === 'number') expect(stored!['model'][name], `${door.name} ${name}`).toBeCloseTo(value, 6);
        else expect(stored!['model'][name] === null, `${door.name} ${name}`).toBe(value === null);
      }
      expect(Number(stored!['lifetime_cycles'])).toBe(Math.round(duty.lifetimeCycles));
      const verdicts = new Map((await rows('SELECT reading_id, verdict FROM reading_verdict WHERE door_id = $1', [door.id])).map((row) => [row['reading_id'], row['verdict']]));
      expect(readings.map((reading) => verdicts.get(reading.id) ?? 'used')).toEqual(unwrapped.verdicts.map((verdict) => verdict.replaceAll('-', '_')));
      const outlooks = await rows('SELECT *, ends_on_10::text AS e10, ends_on_50::text AS e50, ends_on_90::text AS e90 FROM part_outlook WHERE door_id = $1', [door.id]);
      expect(outlooks.map((row) => row['fitted_part_id'] as string).sort()).toEqual(parts.map((part) => part.id).sort());
      for (const { id, age, outlook } of parts) {
        const row = outlooks.find((one) => one['fitted_part_id'] === id)!;
        expect(row['age']).toBeCloseTo(age, 4);
        expect(row['remaining_50'] / outlook.remaining.p50).toBeCloseTo(1, 6);
        expect(row['chance_90']).toBeCloseTo(outlook.chance90, 9);
        expect(row['condition']).toBe(outlook.condition);
        expect([row['e10'], row['e50'], row['e90']]).toEqual([outlook.daysAhead.p10, outlook.daysAhead.p50, outlook.daysAhead.p90].map((days) => civil(duty.asOf + days * DAY_MS)));
      }
      const due = await rows('SELECT task_id, safety, earliest_on::text AS e, due_on::text AS d, latest_on::text AS l, why FROM due_item WHERE door_id = $1 ORDER BY task_id', [door.id]);
      expect(due.map(({ task_id, safety, e, d, l }) => ({ task_id, safety, e, d, l }))).toEqual(
        items.map(({ taskId, safety, item }) => ({ task_id: taskId, safety, e: item.earliest, d: item.due, l: item.latest })).sort((a, b) => (a.task_id < b.task_id ? -1 : 1)),
      );
      for (const row of due) expect(row['why'].rule).toBe(items.find((one) => one.taskId === row['task_id'])!.item.why.rule);
      const [line] = await rows('SELECT condition, worst_part_id, chance_90, next_due_on::text AS next, safety_latest_on::text AS safety FROM door_outlook WHERE door_id = $1', [door.id]);
      expect(line!['next']).toBe(items.map((one) => one.item.due).sort()[0] ?? null);
      expect(line!['safety']).toBe(items.filter((one) => one.safety).map((one) => one.item.latest).sort()[0] ?? null);
      expect(line!['chance_90']).toBeCloseTo(Math.max(0, ...parts.map((part) => part.outlook.chance90)), 9);
    }
  });

  it('has every trouble in it, so that the comparison means something', async () => {
    const verdicts = await rows('SELECT DISTINCT verdict::text FROM reading_verdict ORDER BY 1');
    expect(verdicts.map((row) => row['verdict'])).toEqual(expect.arrayContaining(['mistyped', 'stuck', 'used_reset', 'used_rollover']));
    // A failed inspection does not count as done: the passed one of January 2025 does.
    const [item] = await rows('SELECT why FROM due_item WHERE door_id = $1 AND task_id = $2', [fleet.doors['steady'], fleet.beatId]);
    expect(item!['why'].basis).toMatchObject({ kind: 'completion', on: '2025-01-16' });
  });

  const everything = async (): Promise<string> =>
    JSON.stringify(await rows(`SELECT
      (SELECT jsonb_agg(to_jsonb(t) ORDER BY door_id) FROM door_duty t) AS duty, (SELECT jsonb_agg(to_jsonb(t) ORDER BY reading_id) FROM reading_verdict t) AS verdicts,
      (SELECT jsonb_agg(to_jsonb(t) ORDER BY fitted_part_id) FROM part_outlook t) AS parts, (SELECT jsonb_agg(to_jsonb(t) ORDER BY door_id, task_id) FROM due_item t) AS items,
      (SELECT jsonb_agg(to_jsonb(t) ORDER BY door_id) FROM door_outlook t) AS outlooks`));

  it('comes to the same twice, and several at once over overlapping doors', async () => {
    const before = await everything();
    expect(before.length).toBeGreaterThan(5000);
    const ids = Object.values(fleet.doors);
    const everybody = () => [
      projectCompany(database.store, context, { now }),
      projectDoors(database.store, context, { doorIds: [...ids].reverse() }, { now }),
      ...ids.map((id) => projectDoors(database.store, context, { doorIds: [id] }, { now })),
    ];
    for (let turn = 0; turn < 3; turn++) {
      const results = await Promise.all(everybody());
      expect(results.map((result) => [result.projected, result.failed])).toEqual([[8, []], [8, []], ...ids.map(() => [1, []])]);
    }
    expect(await everything()).toBe(before);
  });

  it('obeys an overrule, and takes it back with it', async () => {
    const [typed] = await rows(`SELECT v.reading_id, v.door_id FROM reading_verdict v WHERE v.verdict = 'mistyped'`);
    const accountId = newId();
    await database.store.withCompany(context, async (db) => {
      await db.account.create({ data: { companyId: context.companyId, id: accountId, email: 'p@test.example', name: 'P', role: 'planner', passwordHash: 'x' } });
      await db.readingOverrule.create({ data: { companyId: context.companyId, readingId: typed!['reading_id'], doorId: typed!['door_id'], use: true, note: 'it was so', accountId } });
    });
    const verdict = async () => (await rows('SELECT verdict FROM reading_verdict WHERE reading_id = $1', [typed!['reading_id']]))[0]?.['verdict'] ?? 'used';
    await projectDoors(database.store, context, { doorIds: [typed!['door_id']] }, { now });
    expect(await verdict()).not.toBe('mistyped');
    await database.store.withCompany(context, (db) => db.readingOverrule.deleteMany({}));
    await projectDoors(database.store, context, { doorIds: [typed!['door_id']] }, { now });
    expect(await verdict()).toBe('mistyped');
  });

  it('removes what no longer holds', async () => {
    const doorId = fleet.doors['steady']!;
    const parts = async () => (await rows('SELECT fitted_part_id FROM part_outlook WHERE door_id = $1', [doorId])).length;
    const items = async () => (await rows('SELECT task_id FROM due_item WHERE door_id = $1', [doorId])).length;
    expect([await parts(), await items()]).toEqual([3, 3]);
    await database.store.withCompany(context, async (db) => {
      await db.fittedPart.updateMany({ where: { doorId, positionId: fleet.chainPositionId }, data: { removedAt: now, removalReason: 'worn' } });
      await db.task.update({ where: { companyId_id: { companyId: context.companyId, id: fleet.cyclesTaskId } }, data: { archivedAt: now } });
    });
    await projectDoors(database.store, context, { doorIds: [doorId] }, { now });
    expect([await parts(), await items()]).toEqual([2, 2]);
  });

  it('leaves a decommissioned door without a future, with its history', async () => {
    const doorId = fleet.doors['reset']!;
    await database.store.withCompany(context, (db) => db.door.updateMany({ where: { id: doorId }, data: { state: 'decommissioned' } }));
    const result = await projectDoors(database.store, context, { doorIds: [doorId] }, { now });
    expect(result).toMatchObject({ projected: 0, decommissioned: 1, failed: [] });
    const left = await rows(
      `SELECT (SELECT count(*) FROM part_outlook WHERE door_id = $1)::int AS parts, (SELECT count(*) FROM due_item WHERE door_id = $1)::int AS items,
         (SELECT count(*) FROM door_outlook WHERE door_id = $1)::int AS outlooks, (SELECT count(*) FROM door_duty WHERE door_id = $1)::int AS duty`,
      [doorId],
    );
    expect(left).toEqual([{ parts: 0, items: 0, outlooks: 0, duty: 1 }]);
  });

  it('reports a door that cannot be computed or written, leaves it as it was, and goes on with the others', async () => {
    const siteId = newId();
    const odd = newId();
    const early = newId();
    await database.store.withCompany(context, async (db) => {
      const { companyId } = context;
      await db.site.create({ data: { companyId, id: siteId, ownerId: fleet.ownerId, name: 'Odd', countryCode: 'NO', timeZone: 'Nowhere/Atall' } });
      const door = { companyId, doorTypeId: fleet.doorTypeId, widthMm: 3000, heightMm: 3500, installedOn: new Date('2024-12-01') };
      await db.door.create({ data: { ...door, id: odd, siteId, name: 'odd' } });
      await db.door.create({ data: { ...door, id: early, siteId: fleet.siteId, name: 'early' } });
    });
    // No such value comes out of the engine; the table is made to refuse it all the same.
    await database.owner.query(`ALTER TABLE door_outlook ADD CONSTRAINT refuse_one CHECK (door_id <> '${early}')`);
    const result = await projectCompany(database.store, context, { now });
    await database.owner.query('ALTER TABLE door_outlook DROP CONSTRAINT refuse_one');
    expect(result.failed.map((failure) => failure.doorId).sort()).toEqual([odd, early].sort());
    expect(result.failed.find((failure) => failure.doorId === odd)!.reason).toContain('Nowhere/Atall');
    expect(result).toMatchObject({ projected: 7, decommissioned: 1 });
    expect(await rows('SELECT door_id FROM door_duty WHERE door_id = ANY ($1)', [[odd, early]])).toEqual([]);
  });

  it('stops between chunks when asked to, and cuts a company into ranges that hold each door once', async () => {
    const result = await projectCompany(database.store, context, { now, isCancelled: () => true });
    expect(result).toMatchObject({ projected: 0, cancelled: true });
    const ranges = await doorRanges(database.store, context, 3);
    const ids = (await rows('SELECT id FROM door WHERE company_id = $1 ORDER BY id', [context.companyId])).map((row) => row['id'] as string);
    expect(ids.length).toBe(10);
    expect(ranges.map((range) => range.doors)).toEqual([3, 3, 3, 1]);
    for (const id of ids) expect(ranges.filter((range) => range.from <= id && id <= range.to)).toHaveLength(1);
  });

  it('notes an overdue inspection once, with the ledger, and not before the day after its latest date', async () => {
    const [first] = await rows(`SELECT i.latest_on::text AS latest FROM due_item i JOIN door d ON d.id = i.door_id WHERE i.safety AND d.site_id = $1 ORDER BY 1`, [fleet.siteId]);
    expect(await noteOverdueInspections(database.store, context, fleet.siteId, first!['latest'])).toBe(0);
    const counts = await Promise.all([1, 2, 3].map(() => noteOverdueInspections(database.store, context, fleet.siteId, '2030-01-01')));
    const [{ items }] = (await rows(`SELECT count(*)::int AS items FROM due_item i JOIN door d ON d.id = i.door_id WHERE i.safety AND d.site_id = $1`, [fleet.siteId])) as [{ items: number }];
    expect(items).toBeGreaterThan(5);
    expect(counts.reduce((a, b) => a + b)).toBe(items);
    const [noted] = await rows(`SELECT (SELECT count(*)::int FROM overdue_notice) AS notices, (SELECT count(*)::int FROM ledger_entry WHERE action = 'inspection-overdue') AS entries`);
    expect(noted).toEqual({ notices: items, entries: items });
  });
});
