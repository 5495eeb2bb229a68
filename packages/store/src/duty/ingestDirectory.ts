import type { ReadingGiven } from '@lintel/contract';
import type pg from 'pg';

type Fault = { field: string; message: string };

/** How a line of a batch names its door. */
export type DoorNamed = Pick<ReadingGiven, 'doorId' | 'serial'>;

/** The doors that a batch names, known by id and by serial. */
export interface DoorsGiven {
  ids(): string[];
  idOf(named: DoorNamed): string | Fault;
}

export interface CounterSpan {
  id: string;
  fromMs: number;
  /** Null while it is fitted. */
  toMs: number | null;
  modulus: number | null;
}

export interface CounterSpans {
  /** The counter of the door at an instant, or the one named. */
  at(doorId: string, atMs: number, counterId: string | undefined): CounterSpan | Fault;
}

export async function loadDoors(client: pg.ClientBase, readings: readonly DoorNamed[]): Promise<DoorsGiven> {
  const ids = new Set<string>();
  const serials = new Set<string>();
  for (const { doorId, serial } of readings) {
    if (doorId !== undefined) ids.add(doorId.toLowerCase());
    else if (serial !== undefined) serials.add(serial);
  }
  const { rows } = await client.query<{ id: string; serial: string | null }>({
    name: 'ingest_doors',
    text: `SELECT id, serial FROM door WHERE id = ANY ($1::uuid[])
      UNION SELECT id, serial FROM door WHERE serial = ANY ($2::text[])`,
    values: [[...ids], [...serials]],
  });
  const known = new Set(rows.map(({ id }) => id));
  const bySerial = new Map<string, string | null>();
  for (const { id, serial } of rows) {
    // Null: several doors carry it, so it names none.
    if (serial !== null && serials.has(serial)) bySerial.set(serial, bySerial.has(serial) ? null : id);
  }
  return {
    ids: () => [...known],
    idOf({ doorId, serial }) {
      if (doorId !== undefined) {
        const id = doorId.toLowerCase();
        return known.has(id) ? id : { field: 'doorId', message: 'there is no such door here' };
      }
      const id = bySerial.get(serial ?? '');
      if (id === undefined) return { field: 'serial', message: 'no door has this serial' };
      return id ?? { field: 'serial', message: 'several doors have this serial: name the door by doorId' };
    },
  };
}

export async function loadCounters(client: pg.ClientBase, doorIds: readonly string[]): Promise<CounterSpans> {
  const { rows } = await client.query<{ id: string; door_id: string; fitted_at: Date; removed_at: Date | null; modulus: string | null }>({
    name: 'ingest_counters',
    text: 'SELECT id, door_id, fitted_at, removed_at, modulus FROM counter WHERE door_id = ANY ($1::uuid[]) ORDER BY fitted_at',
    values: [doorIds],
  });
  const byDoor = new Map<string, CounterSpan[]>();
  for (const row of rows) {
    const spans = byDoor.get(row.door_id) ?? [];
    spans.push({
      id: row.id,
      fromMs: row.fitted_at.getTime(),
      toMs: row.removed_at?.getTime() ?? null,
      modulus: row.modulus === null ? null : Number(row.modulus),
    });
    byDoor.set(row.door_id, spans);
  }
  return { at: (doorId, atMs, counterId) => counterAt(byDoor.get(doorId) ?? [], atMs, counterId) };
}

function counterAt(spans: readonly CounterSpan[], atMs: number, counterId: string | undefined): CounterSpan | Fault {
  if (counterId !== undefined) {
    const named = spans.find(({ id }) => id === counterId.toLowerCase());
    if (named === undefined) return { field: 'counterId', message: 'is not a counter of this door' };
    return within(named, atMs) ? named : { field: 'at', message: 'this counter was not on the door then' };
  }
  // The latest of them: at the instant of a change the new counter is meant.
  const found = spans.findLast((span) => within(span, atMs));
  return found ?? { field: 'at', message: 'no counter was on the door then' };
}

const within = ({ fromMs, toMs }: CounterSpan, atMs: number): boolean => atMs >= fromMs && (toMs === null || atMs <= toMs);
