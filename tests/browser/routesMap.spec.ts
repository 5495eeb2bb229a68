import { createServer, type Server } from 'node:http';
import { once } from 'node:events';
import type { AddressInfo } from 'node:net';
import type { RoutePlan } from '@lintel/contract';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { Lintel, openBrowser, Reader } from './support.js';

/** A grey pixel as PNG, made by hand. */
const PIXEL = Buffer.from('iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR42mNoAAAAggCB2DJiBQAAAABJRU5ErkJggg==', 'base64');

let tileServer: Server;
let lintel: Lintel;
let browser: Browser;
let tileBase: string;
const asked: string[] = [];

beforeAll(async () => {
  tileServer = createServer((request, response) => {
    asked.push(request.url!);
    response.writeHead(200, { 'content-type': 'image/png' }).end(PIXEL);
  });
  tileServer.listen(0, '127.0.0.1');
  await once(tileServer, 'listening');
  tileBase = `http://127.0.0.1:${(tileServer.address() as AddressInfo).port}`;
  lintel = await Lintel.start({ TILE_URL: `${tileBase}/ground/{z}/{x}/{y}.png`, TILE_ATTRIBUTION: 'Ground of the test' });
  browser = await openBrowser();
});
afterAll(async () => {
  await browser?.close();
  await lintel?.stop();
  tileServer?.close();
});

it('where a tile server is named, a plan is drawn on its tiles, and nothing else leaves the house', async () => {
  const planner = await Reader.at(browser, lintel, 'planner');
  const { page } = planner;
  const first = async () => (await planner.get<{ items: RoutePlan[] }>('/route-plans?limit=1&sort=createdAt')).items[0]!;
  await expect.poll(async () => (await first()).state, { timeout: 120_000, interval: 1000 }).toBe('draft');
  const plan = await first();
  await planner.open(`/route-plans/${plan.id}/show`, `Routes: ${plan.name}`);
  const tiles = page.locator('[data-tiles] image');
  await tiles.first().waitFor({ state: 'attached' });
  await page.getByText('Map: Ground of the test').waitFor();
  await expect.poll(() => asked.length).toBeGreaterThanOrEqual(await tiles.count());
  expect(asked.every((path) => /^\/ground\/\d+\/\d+\/\d+\.png$/.test(path))).toBe(true);
  expect(await page.locator('[data-ground]').count()).toBe(0);
  expect(await planner.seriousFaults()).toEqual([]);
  expect(planner.foreign.filter((url) => !url.startsWith(`${tileBase}/ground/`))).toEqual([]);
  expect(planner.foreign.length).toBeGreaterThan(0);
  planner.foreign.length = 0;
  await planner.close();
});
