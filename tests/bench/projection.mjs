import { finished, pipeline } from 'node:stream/promises';
import { projectCompany } from '@lintel/store';
import { from as copyFrom, to as copyTo } from 'pg-copy-streams';
import { seconds } from './database.mjs';

/** What a projection writes. */
const RESULTS = ['door_duty', 'reading_verdict', 'part_outlook', 'due_item', 'door_outlook'];
const TURNS = 3;
const DAY_MS = 86_400_000;

/**
 * Re-projection of a whole company, over the bound: the same readings read in the same compact form (`bound`) or as plain rows
 * (`rows`), and the same results written by COPY into the same tables, emptied before, with their keys and foreign keys, past
 * row-level security; nothing computed. The best turn of each counts. Each turn is as of another day, so that all results change.
 */
export async function benchProjection({ store, owner, companyId, context }) {
  const start = Date.now();
  await projectAll(store, context, new Date(start));
  // As the server itself does within minutes of such a change: its plans follow from what it knows of the tables.
  await owner.query('VACUUM ANALYZE');
  const best = { projection: Infinity, bound: Infinity, rows: Infinity };
  const keep = (name, value) => {
    best[name] = Math.min(best[name], value);
  };
  for (let turn = 1; turn <= TURNS; turn++) {
    keep('projection', await seconds(() => projectAll(store, context, new Date(start + turn * DAY_MS))));
    const { bound, rows } = await boundTimes(owner, companyId);
    keep('bound', bound);
    keep('rows', rows);
  }
  return { ...best, ratio: best.projection / best.bound };
}

/** Seconds of reading and writing what a projection reads and writes; the tables of its results hold the same afterwards. */
export async function boundTimes(owner, companyId) {
  const writing = await writeTime(owner);
  const bound = writing + (await readTime(owner, `SELECT door_id, counter_id, array_agg(at), array_agg(value) FROM reading
    WHERE company_id = '${companyId}' GROUP BY door_id, counter_id`));
  const rows = writing + (await readTime(owner, `SELECT door_id, counter_id, at, value FROM reading
    WHERE company_id = '${companyId}' ORDER BY door_id, at`));
  return { bound, rows };
}

async function projectAll(store, context, now) {
  const { projected, failed } = await projectCompany(store, context, { now });
  if (failed.length > 0 || projected === 0) throw new Error(`projected ${projected}, failed ${failed.length}`);
}

const readTime = (owner, select) => seconds(() => collect(owner.query(copyTo(`COPY (${select}) TO STDOUT (FORMAT binary)`))));

async function writeTime(owner) {
  const copies = new Map();
  for (const table of RESULTS) copies.set(table, await collect(owner.query(copyTo(`COPY ${table} TO STDOUT (FORMAT binary)`))));
  await owner.query(`TRUNCATE ${RESULTS.join(', ')}`);
  return seconds(async () => {
    await owner.query('BEGIN');
    for (const [table, bytes] of copies) await pipeline([bytes], owner.query(copyFrom(`COPY ${table} FROM STDIN (FORMAT binary)`)));
    await owner.query('COMMIT');
  });
}

async function collect(stream) {
  const pieces = [];
  stream.on('data', (piece) => pieces.push(piece));
  await finished(stream);
  return Buffer.concat(pieces);
}
