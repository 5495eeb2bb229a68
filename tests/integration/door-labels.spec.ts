import { writeFileSync } from 'node:fs';
import { newId } from '@lintel/store';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Caller } from '../support/api.js';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';
import { pdfPages } from '../support/pdf.js';
import { codesIn } from '../support/pdfCodes.js';

let world: ApiWorld;
const host = 'doors.example:8443';

beforeAll(async () => {
  world = await openApiWorld();
  const { companyId } = world.company;
  const { siteId, doorTypeId } = world.fleet;
  await world.database.store.withCompany(world.company, (db) =>
    db.door.createMany({
      data: Array.from({ length: 12 }, (_, index) => ({
        companyId, id: newId(), siteId, doorTypeId, name: `Tür Łódź ${index + 1}`, serial: index === 0 ? null : `SN-${1000 + index}`, widthMm: 3000, heightMm: 3000, installedOn: new Date('2024-01-15'),
      })),
    }));
});
afterAll(async () => {
  await world?.close();
});

async function print(caller: Caller, query: string): Promise<{ status: number; type: string; file: Buffer; body: string }> {
  const answer = await world.api.app.inject({ method: 'GET', url: `/api/v1/doors/labels.pdf${query}`, headers: { cookie: caller.cookie, host } });
  return { status: answer.statusCode, type: String(answer.headers['content-type']), file: answer.rawPayload, body: answer.payload };
}

interface Listed {
  id: string;
  name: string;
  siteName: string;
  serial: string | null;
}

describe('labels of doors', () => {
  it('lead each to its own door: the code that is drawn, read by jsQR, beside the words, read by pdf.js', async () => {
    const { planner } = world.callers;
    const { items } = (await planner.get(`doors?siteId=${world.fleet.siteId}&limit=50&sort=name`)).body as { items: Listed[] };
    expect(items).toHaveLength(13);
    for (const size of ['small', 'medium', 'large'] as const) {
      const { status, type, file } = await print(planner, `?siteId=${world.fleet.siteId}&size=${size}`);
      expect([status, type]).toEqual([200, 'application/pdf']);
      if (process.env['LINTEL_KEEP_PDF']) writeFileSync(`${process.env['LINTEL_KEEP_PDF']}-${size}.pdf`, file);
      expect(new Set(codesIn(file)), size).toEqual(new Set(items.map(({ id }) => `http://${host}/tablet/door/${id}`)));
      expect(codesIn(file), size).toHaveLength(items.length);
      const text = (await pdfPages(file)).join(' ');
      for (const { name, siteName, serial } of items) {
        expect(text).toContain(`${name} ${siteName} ${serial === null ? 'No serial number' : `Serial ${serial}`}`);
      }
    }
  });

  it('fill as many sheets as the paper needs', async () => {
    const pages = async (query: string) => (await pdfPages((await print(world.callers.planner, `?siteId=${world.fleet.siteId}&${query}`)).file)).length;
    // 13 labels of 90 × 50 mm with 3 mm between them and 10 mm of edge: 2 × 5 on 210 × 297 mm (ISO 216 A4), 2 × 4 on 215.9 × 279.4 mm (ANSI/ASME Y14.1 size A).
    expect(await pages('paper=a4&size=medium')).toBe(2);
    expect(await pages('paper=us-letter&size=medium')).toBe(2);
    expect(await pages('paper=a4&size=small')).toBe(1);
    // 140 × 85 mm: three below each other take 261 mm, which A4 has between its edges (277 mm) and US Letter has not (259.4 mm).
    expect(await pages('paper=a4&size=large')).toBe(5);
    expect(await pages('paper=us-letter&size=large')).toBe(7);
    const sheet = (await print(world.callers.planner, `?siteId=${world.fleet.siteId}&paper=us-letter`)).file.toString('latin1');
    expect(sheet).toMatch(/\/MediaBox \[0 0 612 792\]/);
  });

  it('are for the doors that were asked for, of the own company alone', async () => {
    const { planner } = world.callers;
    expect(codesIn((await print(planner, `?id=${world.fleet.doorId}`)).file)).toEqual([`http://${host}/tablet/door/${world.fleet.doorId}`]);
    expect((await print(planner, `?id=${world.foreign.doorId}`)).status).toBe(404);
    expect((await print(planner, '?kind=dock')).status).toBe(404);
    expect((await print(planner, '?kind=freezer&state=out-of-service')).status).toBe(404);
    expect((await print(planner, `?kind=freezer&condition=unknown&overdueSafety=false&siteId=${world.fleet.siteId}`)).status).toBe(200);
    const wrong = await print(planner, '?id=one,two&paper=a5');
    expect(wrong.status).toBe(400);
    expect((JSON.parse(wrong.body) as { errors: { field: string }[] }).errors.map(({ field }) => field.split('.')[0])).toEqual(expect.arrayContaining(['id', 'paper']));
  });

  it('leave out what has been decommissioned', async () => {
    const { doorId } = world.otherOwner;
    expect((await print(world.callers.planner, `?id=${doorId}`)).status).toBe(200);
    expect((await world.callers.planner.post(`doors/${doorId}/decommission`, { reason: 'walled up' })).status).toBe(200);
    expect((await print(world.callers.planner, `?id=${doorId}`)).status).toBe(404);
  });

  it('are printed by planners', async () => {
    expect((await print(world.callers.technician, '')).status).toBe(403);
    expect((await print(world.callers.owner, '')).status).toBe(403);
    expect((await print(world.callers.administrator, '')).status).toBe(200);
  });
});
