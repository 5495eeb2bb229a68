import { randomUUID } from 'node:crypto';
import { createOrders, newId, releaseOrders } from '@lintel/store';
import { openApi, seconds } from './database.mjs';

const COMMANDS = 500;
const TURNS = 5;
const WARM_UPS = 2;

/**
 * A batch of 500 queued commands of a device by POST, over the bound: the very rows that such a batch writes (answers, commands with
 * their stored answers, sealed ledger entries, readings, times, requests to the queue, the orders' changes), inserted by `pg`
 * through UNNEST in one transaction for as many orders more. The best turn of each counts.
 */
export async function benchSync(bench) {
  const api = await openApi(bench);
  try {
    const rates = { sync: 0, bound: 0 };
    // Plans are made for tables as they are in use: for empty ones the server would read them whole, row by row looked up.
    for (let turn = 0; turn < WARM_UPS; turn++) await post(api, commandsOf(await releasedOrders(bench)));
    await bench.owner.query('ANALYZE work_order, work_answer, work_time, device_command, ledger_entry, reading, outbox');
    for (let turn = 0; turn < TURNS; turn++) {
      const orders = await releasedOrders(bench);
      const commands = commandsOf(orders);
      await bench.owner.query(`DELETE FROM outbox; DELETE FROM reading WHERE source = 'form'`);
      rates.sync = Math.max(rates.sync, COMMANDS / (await seconds(() => post(api, commands))));
      const tables = await written(bench, orders, commands);
      const others = await releasedOrders(bench, orders.length);
      const renamed = rename(tables, new Map(orders.map(({ id }, index) => [id, others[index].id])));
      await bench.owner.query('DELETE FROM outbox');
      rates.bound = Math.max(rates.bound, COMMANDS / (await seconds(() => insertAll(bench, renamed, others))));
    }
    return { ...rates, ratio: rates.sync / rates.bound };
  } finally {
    await api.close();
  }
}

async function releasedOrders({ owner, store, context, companyId }, count = 46) {
  const { rows } = await owner.query('SELECT id FROM door WHERE company_id = $1 ORDER BY random() LIMIT $2', [companyId, count]);
  const given = rows.map(({ id }) => ({ doorId: id, kind: 'corrective', title: 'Bench' }));
  const ids = (await createOrders(store, context, given)).map(({ id }) => id);
  await releaseOrders(store, context, ids);
  return (await owner.query('SELECT id, steps, door_id AS "doorId" FROM work_order WHERE id = ANY ($1::uuid[])', [ids])).rows;
}

const answers = {
  confirm: () => ({ kind: 'confirm', confirmed: true }),
  text: () => ({ kind: 'text', text: 'Found a loose plug at the edge; put in again and secured, door run through three cycles.' }),
  'read-counter': () => ({ kind: 'read-counter', value: Math.floor(Math.random() * 1e6) }),
};

function commandsOf(orders) {
  const madeAt = new Date().toISOString();
  const all = orders.flatMap(({ id: orderId, steps }) => [
    { command: 'start' },
    ...steps.filter(({ optional }) => !optional).map(({ id, kind }) => ({ command: 'answer', stepId: id, answer: answers[kind]() })),
    { command: 'complete', passed: true },
    { command: 'record-time', kind: 'work', minutes: 30, startedAt: madeAt },
  ].map((command) => ({ id: randomUUID(), madeAt, orderId, command })));
  if (all.length < COMMANDS) throw new Error(`only ${all.length} commands`);
  return all.slice(0, COMMANDS);
}

async function post({ url, cookie }, commands) {
  const answer = await fetch(`${url}/device/commands`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', cookie },
    body: JSON.stringify({ device: 'bench', commands }),
  });
  const { answers: given, ...problem } = await answer.json();
  const refused = given?.filter(({ outcome }) => outcome !== 'applied');
  if (given?.length !== COMMANDS || refused.length > 0) throw new Error(JSON.stringify(refused ?? problem).slice(0, 500));
}

/** What the batch wrote, by table: columns with their types, and rows as text. */
async function written({ owner, companyId }, orders, commands) {
  const ids = orders.map(({ id }) => id);
  const from = {
    work_answer: ['work_order_id = ANY ($1)', ids],
    work_time: ['work_order_id = ANY ($1)', ids],
    reading: [`door_id = ANY ($1) AND source = 'form'`, orders.map(({ doorId }) => doorId)],
    device_command: ['id = ANY ($1)', commands.map(({ id }) => id)],
    ledger_entry: [`subject_id = ANY ($1) AND action LIKE 'work-%' AND action NOT LIKE 'work-order-%'`, ids],
    outbox: ['company_id = ANY ($1)', [companyId]],
  };
  const left = new Set(['place', 'sequence', 'previous_hash', 'hash']);
  const tables = [];
  for (const [table, [where, values]] of Object.entries(from)) {
    const { rows: columns } = await owner.query(
      `SELECT a.attname AS name, format_type(a.atttypid, a.atttypmod) AS type FROM pg_attribute a WHERE a.attrelid = $1::regclass AND a.attnum > 0 AND NOT a.attisdropped`, [table]);
    const kept = columns.filter(({ name }) => !left.has(name));
    const { rows } = await owner.query(`SELECT ${kept.map(({ name }) => `${name}::text`).join(', ')} FROM ${table} WHERE ${where}`, [values]);
    tables.push({ table, columns: kept, rows });
  }
  const answered = tables.find(({ table }) => table === 'work_answer').rows.length;
  if (answered < COMMANDS / 2) throw new Error(`only ${answered} answers were found`);
  return tables;
}

/** The same rows with ids of their own, of other orders, a second later. */
function rename(tables, orders) {
  const later = (text) => new Date(Date.parse(text) + 1000).toISOString();
  return tables.map(({ table, columns, rows }) => ({
    table,
    columns,
    rows: rows.map((row) => ({
      ...row, id: newId(),
      ...('work_order_id' in row && { work_order_id: orders.get(row.work_order_id) }),
      ...('subject_id' in row && { subject_id: orders.get(row.subject_id) }),
      ...(table === 'reading' && { at: later(row.at) }),
    })),
  }));
}

async function insertAll({ owner, companyId }, tables, orders) {
  await owner.query('BEGIN');
  for (const { table, columns, rows } of tables) {
    if (rows.length === 0) throw new Error(`nothing was written to ${table}`);
    const names = columns.map(({ name }) => name).join(', ');
    await owner.query(
      `INSERT INTO ${table} (${names}) SELECT ${columns.map(({ name, type }) => `r.${name}::${type}`).join(', ')}
       FROM unnest(${columns.map((_, index) => `$${index + 1}::text[]`).join(', ')}) r(${names})`,
      columns.map(({ name }) => rows.map((row) => row[name])),
    );
  }
  await owner.query(
    `UPDATE work_order SET state = 'completed', passed = true, started_at = now(), completed_at = now(), version = version + 11, change_no = change_no + 1
     WHERE company_id = $1 AND id = ANY ($2)`, [companyId, orders.map(({ id }) => id)]);
  await owner.query('COMMIT');
}
