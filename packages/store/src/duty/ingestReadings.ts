import { readingGiven, type ReadingGiven, type ReadingRefusal, type ReadingsTaken } from '@lintel/contract';
import type pg from 'pg';
import { newId, type CompanyContext } from '../context.js';
import { enqueue, enqueueMany } from '../jobs/enqueue.js';
import { loadCounters, loadDoors, type CounterSpans, type DoorsGiven } from './ingestDirectory.js';

export interface IngestOptions {
  source: 'form' | 'post' | 'wire';
  /** Milliseconds; readings from after it are refused. */
  now: number;
}

/** Clocks of controllers are not exact. */
const clockGraceMs = 600_000;
/** Readings of a door that come within so many seconds are projected once. */
const debounceSeconds = 5;
/** Above so many doors at once the whole company is projected: one flow of chunks instead of thousands of jobs. */
const mostDoorProjections = 500;

interface Placed {
  doorId: string;
  counterId: string;
  atMs: number;
  at: string;
  value: number;
}

/**
 * Takes a batch of counter readings in, in the caller's transaction of a company: those not known yet are added, those
 * known value for value change nothing, those that cannot be are refused by their index. Doors that got a reading are
 * projected anew soon. Readings are `unknown`: each is checked by itself, so that one wrong one does not stop the others.
 * Four statements whatever the size of the batch.
 */
export async function ingestReadings(
  client: pg.ClientBase,
  context: CompanyContext,
  given: readonly unknown[],
  options: IngestOptions,
): Promise<ReadingsTaken> {
  const refused: ReadingRefusal[] = [];
  const sound: { index: number; reading: ReadingGiven }[] = [];
  for (const [index, candidate] of given.entries()) {
    const fault = check(candidate, options.now);
    if ('message' in fault) refused.push({ index, ...fault });
    else sound.push({ index, reading: fault.reading });
  }
  const doors = await loadDoors(client, sound.map(({ reading }) => reading));
  const counters = await loadCounters(client, doors.ids());
  const placed: Placed[] = [];
  for (const { index, reading } of sound) {
    const place = placeReading(doors, counters, reading);
    if ('message' in place) refused.push({ index, ...place });
    else placed.push(place);
  }
  const { accepted, doorIds } = await insertReadings(client, context, placed, options.source);
  await askProjection(client, context, doorIds);
  refused.sort((a, b) => a.index - b.index);
  return { accepted, unchanged: placed.length - accepted, refused };
}

async function askProjection(client: pg.ClientBase, context: CompanyContext, doorIds: readonly string[]): Promise<void> {
  if (doorIds.length > mostDoorProjections) await enqueue(client, context, 'project-company', {}, { debounceSeconds });
  else await enqueueMany(client, context, 'project-door', doorIds.map((doorId) => ({ doorId })), { debounceSeconds });
}

type Fault = Omit<ReadingRefusal, 'index'>;

function check(candidate: unknown, now: number): Fault | { reading: ReadingGiven } {
  const parsed = readingGiven.safeParse(candidate);
  if (!parsed.success) {
    const issue = parsed.error.issues[0]!;
    const unknownKey = issue.code === 'unrecognized_keys' ? issue.keys[0] : undefined;
    return { field: unknownKey ?? issue.path.join('.'), message: unknownKey === undefined ? issue.message : 'is not known here' };
  }
  const reading = parsed.data;
  if ((reading.doorId === undefined) === (reading.serial === undefined)) {
    return { field: 'doorId', message: 'the door is named by doorId or by serial, by one of them' };
  }
  if (Date.parse(reading.at) > now + clockGraceMs) return { field: 'at', message: 'lies in the future' };
  return { reading };
}

function placeReading(doors: DoorsGiven, counters: CounterSpans, reading: ReadingGiven): Fault | Placed {
  const doorId = doors.idOf(reading);
  if (typeof doorId !== 'string') return doorId;
  const atMs = Date.parse(reading.at);
  const counter = counters.at(doorId, atMs, reading.counterId);
  if ('message' in counter) return counter;
  if (counter.modulus !== null && reading.value >= counter.modulus) {
    return { field: 'value', message: `this counter rolls over at ${counter.modulus}` };
  }
  return { doorId, counterId: counter.id, atMs, at: reading.at, value: reading.value };
}

/** In the order of their key, so that two batches with the same readings wait for each other and do not lock up. */
async function insertReadings(
  client: pg.ClientBase,
  context: CompanyContext,
  placed: Placed[],
  source: string,
): Promise<{ accepted: number; doorIds: string[] }> {
  if (placed.length === 0) return { accepted: 0, doorIds: [] };
  placed.sort((a, b) => (a.doorId < b.doorId ? -1 : a.doorId > b.doorId ? 1 : a.atMs - b.atMs || a.value - b.value));
  const { rows } = await client.query<{ accepted: number; door_ids: string[] | null }>({
    name: 'ingest_readings',
    text: `WITH added AS (
        INSERT INTO reading (company_id, id, door_id, counter_id, at, value, source)
        SELECT $1::uuid, r.id, r.door_id, r.counter_id, r.at, r.value, $2::"ReadingSource"
        FROM unnest($3::uuid[], $4::uuid[], $5::uuid[], $6::timestamptz[], $7::bigint[]) AS r(id, door_id, counter_id, at, value)
        ON CONFLICT DO NOTHING
        RETURNING door_id)
      SELECT count(*)::int AS accepted, array_agg(DISTINCT door_id)::text[] AS door_ids FROM added`,
    values: [
      context.companyId,
      source,
      placed.map(() => newId()),
      placed.map(({ doorId }) => doorId),
      placed.map(({ counterId }) => counterId),
      placed.map(({ at }) => at),
      placed.map(({ value }) => value),
    ],
  });
  const [row] = rows;
  return { accepted: row?.accepted ?? 0, doorIds: row?.door_ids ?? [] };
}
