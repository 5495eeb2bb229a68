import { Readable } from 'node:stream';
import { importChunks } from '@lintel/store';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Answer, Caller } from '../support/api.js';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';

let world: ApiWorld;
let planner: Caller;
beforeAll(async () => {
  world = await openApiWorld();
  planner = world.callers.planner;
});
afterAll(() => world?.close());

const upload = (body: unknown, query = 'kind=readings&fileName=readings.csv'): Promise<Answer> =>
  planner.ask({ method: 'POST', url: `imports?${query}`, body, headers: { 'content-type': 'text/csv' } });
const file = 'serial,at,value\nS-1,2026-01-01T00:00:00Z,100\n';

describe('an upload', () => {
  test('is kept byte for byte and described, and waits for its mapping', async () => {
    const made = await upload(file);
    expect([made.status, made.headers['location']]).toEqual([201, `/api/v1/imports/${made.body.id}`]);
    expect(made.body).toMatchObject({
      kind: 'readings', fileName: 'readings.csv', state: 'uploaded', header: ['serial', 'at', 'value'], sizeBytes: file.length,
      accountName: 'Test planner', mapping: { columns: { serial: 'serial', at: 'at', value: 'value' } },
    });
    const chunks: Buffer[] = [];
    for await (const chunk of importChunks(world.database.store, world.company, made.body.id)) chunks.push(chunk);
    expect(Buffer.concat(chunks).toString()).toBe(file);
  });

  test('of many megabytes is kept in pieces, and is the same file again', async () => {
    const line = 'S-1,2026-01-01T00:00:00Z,100\n';
    const lines = 400_000;
    function* pieces(): Generator<string> {
      yield 'serial,at,value\n';
      for (let made = 0; made < lines; made += 1000) yield line.repeat(1000);
    }
    const made = await upload(Readable.from(pieces()));
    expect([made.status, made.body.sizeBytes]).toEqual([201, 16 + lines * line.length]);
    let length = 0;
    let largest = 0;
    for await (const chunk of importChunks(world.database.store, world.company, made.body.id)) {
      length += chunk.length;
      largest = Math.max(largest, chunk.length);
    }
    expect(length).toBe(made.body.sizeBytes);
    expect(largest).toBeLessThan(2 * 1_048_576);
  });

  test('that is no file of the kind is refused, with the reason kept', async () => {
    const empty = await upload('');
    expect([empty.status, empty.body.errors[0].field]).toEqual([400, 'file']);
    const { body } = await planner.get('imports?state=failed');
    expect(body.items[0].error).toBe(empty.body.errors[0].message);
    const { rows } = await world.database.owner.query('SELECT 1 FROM import_chunk WHERE import_id = $1', [body.items[0].id]);
    expect(rows).toEqual([]);
    expect((await upload(file, 'kind=people&fileName=x')).body.errors[0].field).toBe('kind');
    expect((await upload(file, 'kind=readings')).body.errors[0].field).toBe('fileName');
    expect((await planner.ask({ method: 'POST', url: 'imports?kind=readings&fileName=x', body: { a: 1 } })).status).toBe(415);
  });

  test('that breaks off is a failed import', async () => {
    const broken = new Readable({ read() {
      this.push(file);
      this.destroy(new Error('line cut'));
    } });
    await upload(broken).catch(() => undefined);
    await expect.poll(async () => (await planner.get('imports?sort=-createdAt&limit=1')).body.items[0].state).not.toBe('uploading');
    expect((await planner.get('imports?sort=-createdAt&limit=1')).body.items[0]).toMatchObject({ state: 'failed', error: 'the upload broke off' });
  });
});

describe('an import', () => {
  test('is started once, with a mapping that fits its columns', async () => {
    const { body: made } = await upload(file);
    const url = `imports/${made.id}`;
    const wrong = await planner.post(`${url}/start`, { mapping: { columns: { serial: 'nothing', at: 'at', value: 'value' } } });
    expect([wrong.status, wrong.body.errors[0].field]).toEqual([400, 'mapping']);
    const started = await planner.post(`${url}/start`, { mapping: made.mapping });
    expect([started.status, started.body.state]).toEqual([202, 'waiting']);
    const { rows } = await world.database.owner.query(`SELECT payload FROM outbox WHERE job = 'import-file'`);
    expect(rows).toEqual([{ payload: { importId: made.id } }]);
    expect((await planner.post(`${url}/start`, { mapping: made.mapping })).status).toBe(409);
    expect((await planner.post(`${url}/cancel`)).body.state).toBe('cancelled');
    expect((await planner.post(`${url}/cancel`)).status).toBe(409);
  });

  test('lists its refused lines, of this import alone', async () => {
    const { body: first } = await upload(file);
    const { body: second } = await upload(file);
    const { owner } = world.database;
    for (const line of [2, 3, 4]) {
      await owner.query(`INSERT INTO import_refusal (company_id, import_id, line, field, reason, excerpt) VALUES ($1, $2, $3, 'at', 'no date', 'x')`, [world.company.companyId, first.id, line]);
    }
    const { body } = await planner.get(`imports/${first.id}/refusals?sort=-line&limit=2&count=true`);
    expect(body).toEqual({ items: [4, 3].map((line) => ({ line, field: 'at', reason: 'no date', excerpt: 'x' })), hasNext: true, total: 3 });
    expect((await planner.get(`imports/${second.id}/refusals?count=true`)).body.total).toBe(0);
    expect((await planner.get('imports/019ad0a0-0000-7000-8000-000000000000/refusals')).status).toBe(404);
  });
});
