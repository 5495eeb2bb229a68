import { estimateDuty, observedDuty, unwrap } from '@lintel/engine';
import type { CycleHistory, DutyModel, RatePrior, RawReading, Verdict } from '@lintel/engine';
import type pg from 'pg';
import { arrayLiteral, RowBatch } from './projectRows.js';
import type { LoadedDoor } from './projectTypes.js';

/** How far back a door's readings are evidence for its peers: old duty says little of today's. Common practice, no source. */
export const EVIDENCE_DAYS = 730;

/** A verdict other than plain 'used', by what identifies its reading. */
export interface VerdictRow {
  doorId: string;
  counterId: string;
  at: number;
  value: number;
  verdict: Exclude<Verdict, 'used'>;
}

/** What the cycles of a door follow from. */
export type CountedDoor = Pick<LoadedDoor, 'id' | 'minCycleSeconds' | 'readings' | 'counters' | 'overrules'>;

export interface DoorHistory {
  history: CycleHistory;
  verdicts: VerdictRow[];
  setAside: number;
  observed: { cycles: number; days: number };
}

/** The lifetime cycles of a door from its readings, and what became of each. */
export function historyOf(door: CountedDoor, now: Date): DoorHistory {
  const readings = readingsOf(door);
  const spans = door.counters.map((counter) => counter.span);
  const unwrapped = unwrap(readings, spans, { minCycleSeconds: door.minCycleSeconds });
  const verdicts: VerdictRow[] = [];
  let setAside = 0;
  for (let index = 0; index < readings.length; index++) {
    const verdict = unwrapped.verdicts[index]!;
    if (verdict === 'used') continue;
    if (verdict !== 'used-reset' && verdict !== 'used-rollover') setAside += 1;
    const { counter, at, value } = readings[index]!;
    verdicts.push({ doorId: door.id, counterId: door.counters[counter!]!.id, at, value, verdict });
  }
  return { history: unwrapped.history, verdicts, setAside, observed: observedDuty(unwrapped.history, now.getTime(), EVIDENCE_DAYS) };
}

/** The duty of a door as of now. */
export function dutyOf(history: CycleHistory, prior: RatePrior, now: Date): DutyModel {
  const model = estimateDuty(history, prior, now.getTime());
  const { level, levelVariance, driftVariancePerDay, dispersion, lifetimeCycles, cyclesPerDay } = model;
  const numbers = { level, levelVariance, driftVariancePerDay, dispersion, lifetimeCycles, ...cyclesPerDay };
  for (const [name, value] of Object.entries(numbers)) {
    if (!Number.isFinite(value)) throw new RangeError(`the duty model's ${name} is ${value}`);
  }
  return model;
}

function readingsOf(door: CountedDoor): RawReading[] {
  const readings: RawReading[] = [];
  for (const { counterId, at, value } of door.readings) {
    const counter = door.counters.findIndex((candidate) => candidate.id === counterId);
    const overrules = door.overrules.filter((overrule) => overrule.counterId === counterId);
    for (let index = 0; index < at.length; index++) {
      readings.push({ at: at[index]!, value: value[index]!, counter });
      for (const overrule of overrules) {
        if (overrule.at !== at[index] || overrule.value !== value[index]) continue;
        readings[readings.length - 1]!.overruled = overrule.use ? 'use' : 'set-aside';
      }
    }
  }
  return readings;
}

/** What is kept of the duty of doors. */
export const dutyBatch = (): RowBatch =>
  new RowBatch('door_duty', ['door_id'], {
    door_id: 'uuid',
    model: 'jsonb',
    lifetime_cycles: 'bigint',
    cycles_per_day_10: 'float8',
    cycles_per_day: 'float8',
    cycles_per_day_90: 'float8',
    readings: 'int',
    set_aside: 'int',
    last_reading_at: 'timestamptz',
    observed_cycles: 'float8',
    observed_days: 'float8',
    projected_at: 'timestamptz',
  });

export function addDuty(batch: RowBatch, doorId: string, model: DutyModel, { setAside, observed }: DoorHistory, projectedAt: string): void {
  const { cyclesPerDay, lastReadingAt } = model;
  batch.add(
    doorId,
    JSON.stringify(model),
    Math.round(model.lifetimeCycles),
    cyclesPerDay.p10,
    cyclesPerDay.p50,
    cyclesPerDay.p90,
    model.readings,
    setAside,
    lastReadingAt === null ? null : new Date(lastReadingAt).toISOString(),
    observed.cycles,
    observed.days,
    projectedAt,
  );
}

/** Brings the verdicts of some doors to what was found; those that did not change are not touched. */
export async function writeVerdicts(
  client: pg.ClientBase,
  companyId: string,
  doorIds: readonly string[],
  verdicts: readonly VerdictRow[],
): Promise<void> {
  const found = [
    arrayLiteral(verdicts.map((row) => row.doorId)),
    arrayLiteral(verdicts.map((row) => row.counterId)),
    arrayLiteral(verdicts.map((row) => new Date(row.at).toISOString())),
    arrayLiteral(verdicts.map((row) => row.value)),
    arrayLiteral(verdicts.map((row) => row.verdict.replaceAll('-', '_'))),
  ];
  await client.query(
    `WITH found AS MATERIALIZED (
       SELECT r.id, f.door_id, f.verdict
       FROM unnest($3::uuid[], $4::uuid[], $5::timestamptz[], $6::bigint[], $7::"Verdict"[]) f(door_id, counter_id, at, value, verdict)
       JOIN reading r ON r.company_id = $1::uuid AND r.door_id = f.door_id AND r.at = f.at AND r.value = f.value AND r.counter_id = f.counter_id
     ), gone AS (
       DELETE FROM reading_verdict v WHERE v.company_id = $1::uuid AND v.door_id = ANY ($2::uuid[])
         AND NOT EXISTS (SELECT FROM found f WHERE f.id = v.reading_id)
     )
     INSERT INTO reading_verdict AS v (company_id, reading_id, door_id, verdict)
     SELECT $1::uuid, id, door_id, verdict FROM found
     ON CONFLICT (company_id, reading_id) DO UPDATE SET verdict = excluded.verdict WHERE v.verdict <> excluded.verdict`,
    [companyId, arrayLiteral(doorIds), ...found],
  );
}
