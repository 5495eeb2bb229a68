import { newId } from '@lintel/store';
import { openApi, seconds } from './database.mjs';

const BATCH = 5_000;
const BATCHES = 12;
const TURNS = 3;
const FIRST_DAY = Date.now() - 590 * 86_400_000;

/**
 * Readings a second through POST batches, over the bound: the same number of rows for the same doors, inserted by `pg` through
 * UNNEST in the same batches. Each turn takes days of its own, so that both always add; the best turn of each counts.
 */
export async function benchIngest(bench) {
  const { owner, companyId } = bench;
  const { rows: counters } = await owner.query(
    'SELECT id, door_id FROM counter WHERE company_id = $1 ORDER BY id LIMIT $2',
    [companyId, BATCH * BATCHES],
  );
  const api = await openApi(bench);
  try {
    let day = 0;
    const rates = { post: 0, bound: 0 };
    for (let turn = 0; turn < TURNS; turn++) {
      const posted = batchesOf(counters, day++);
      rates.post = Math.max(rates.post, (BATCH * BATCHES) / (await seconds(() => postAll(api, posted))));
      const inserted = batchesOf(counters, day++);
      rates.bound = Math.max(rates.bound, (BATCH * BATCHES) / (await seconds(() => insertAll(owner, companyId, inserted))));
    }
    return { ...rates, ratio: rates.post / rates.bound };
  } finally {
    await api.close();
  }
}

/** Batches over all doors, at minutes of a day between the fitting of the counters and their first readings. */
function batchesOf(counters, day) {
  const start = FIRST_DAY + day * 86_400_000;
  return Array.from({ length: BATCHES }, (_, batch) =>
    Array.from({ length: BATCH }, (_, index) => {
      const place = batch * BATCH + index;
      const { id, door_id: doorId } = counters[place % counters.length];
      const round = Math.floor(place / counters.length);
      return { counterId: id, doorId, at: new Date(start + round * 60_000).toISOString(), value: 1000 + day * 10 + round };
    }),
  );
}

async function postAll({ url, cookie }, batches) {
  for (const readings of batches) {
    const answer = await fetch(`${url}/readings`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', cookie },
      body: JSON.stringify({ readings }),
    });
    const taken = await answer.json();
    if (taken.accepted !== readings.length) throw new Error(`accepted ${taken.accepted}: ${JSON.stringify(taken).slice(0, 300)}`);
  }
}

async function insertAll(owner, companyId, batches) {
  for (const readings of batches) {
    const { rowCount } = await owner.query(
      `INSERT INTO reading (company_id, id, door_id, counter_id, at, value, source)
       SELECT $1::uuid, r.id, r.door_id, r.counter_id, r.at, r.value, 'post'
       FROM unnest($2::uuid[], $3::uuid[], $4::uuid[], $5::timestamptz[], $6::bigint[]) r(id, door_id, counter_id, at, value)
       ON CONFLICT DO NOTHING`,
      [
        companyId,
        readings.map(() => newId()),
        readings.map((reading) => reading.doorId),
        readings.map((reading) => reading.counterId),
        readings.map((reading) => reading.at),
        readings.map((reading) => reading.value),
      ],
    );
    if (rowCount !== readings.length) throw new Error(`inserted ${rowCount}`);
  }
}
