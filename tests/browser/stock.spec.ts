import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import type { RoutePlan, RoutePlanDetail, Site, StockPart, TravelTime } from '@lintel/contract';
import { signedIn } from './signedIn.js';
import type { Reader } from './support.js';

let planner: Reader;

signedIn('planner', ({ reader }) => {
  planner = reader;
});

const partOf = async (code: string) => (await planner.get<{ items: StockPart[] }>(`/stock-parts?q=${code}`)).items[0]!;

describe('stock', () => {
  it('shows what is low, and a quantity is set and loaded into a van', async () => {
    const { page } = planner;
    await planner.open('/stock-parts', 'Stock');
    const table = page.getByRole('table', { name: 'Parts in stock' });
    await table.getByText('▲ 1, low').waitFor();
    const before = await partOf('FH-06');
    await page.getByRole('button', { name: 'Set what is in the store: FH-06' }).click();
    await page.getByLabel('Quantity in the store').fill('9');
    expect(await planner.seriousFaults()).toEqual([]);
    await page.getByRole('button', { name: 'Set it' }).click();
    await expect.poll(() => partOf('FH-06')).toMatchObject({ inStore: 9, low: false, version: before.version + 1 });
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    await table.getByText('▲ 1, low').waitFor({ state: 'detached' });
    await page.getByRole('link', { name: /^FH-06/ }).click();
    await page.getByRole('heading', { level: 1, name: /^FH-06/ }).waitFor();
    await page.getByRole('button', { name: 'Load into a van' }).click();
    await page.getByRole('combobox', { name: 'Van of' }).click();
    await page.getByRole('option').first().click();
    await page.getByRole('dialog').getByLabel(/^Quantity/).fill('2');
    await page.getByRole('button', { name: 'Load it' }).click();
    await expect.poll(() => partOf('FH-06')).toMatchObject({ inStore: 7, inVans: before.inVans + 2 });
    expect(await planner.seriousFaults()).toEqual([]);
    await planner.open('/van-stock', 'Vans');
    await page.getByRole('table', { name: 'Parts in the vans' }).waitFor();
    expect(await planner.seriousFaults()).toEqual([]);
  });

  it('fills a van from a plan, and fewer parts are missing', async () => {
    const { page } = planner;
    const first = async () => (await planner.get<{ items: RoutePlan[] }>('/route-plans?limit=1&sort=createdAt')).items[0]!;
    await expect.poll(async () => (await first()).state, { timeout: 120_000, interval: 1000 }).toBe('draft');
    const { id, name } = await first();
    const missingOf = async () => (await planner.get<RoutePlanDetail>(`/route-plans/${id}`)).routes.flatMap(({ carry }) => carry).reduce((sum, { missing }) => sum + missing, 0);
    const before = await missingOf();
    expect(before).toBeGreaterThan(0);
    await planner.open(`/route-plans/${id}/show`, `Routes: ${name}`);
    await page.getByRole('button', { name: /^Fill the van of/ }).first().click();
    await page.getByRole('dialog').getByRole('button', { name: 'Load it' }).waitFor();
    expect(await planner.seriousFaults()).toEqual([]);
    await page.getByRole('dialog').getByRole('button', { name: 'Load it' }).click();
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    const after = await missingOf();
    expect(after).toBeLessThan(before);
    await page.getByRole('region', { name: 'Parts for the vans' }).getByText(after === 0 ? 'Nothing is missing' : `${after} missing`, { exact: true }).waitFor();
  });
});

describe('travel times', () => {
  const bring = (page: Page, text: string) => page.getByLabel('File with travel times').setInputFiles({ name: 'travel.csv', mimeType: 'text/csv', buffer: Buffer.from(text) });

  it('come in as a file whose bad lines are named, are listed, and are cleared', async () => {
    const { page } = planner;
    const { items: [one, other] } = await planner.get<{ items: Site[] }>('/sites?limit=2&sort=name');
    await planner.open('/travel-times', 'Travel times');
    await page.getByText('No travel times are given').waitFor();
    await bring(page, `from,to,minutes,km\n${one!.name},${other!.name},612,540\n${one!.name},Atlantis,5,1\n${other!.name},${one!.name},soon,1\n`);
    const refused = page.getByRole('table', { name: 'Refused lines' });
    await refused.getByText("there is no site and no technician 'Atlantis'").waitFor();
    await refused.getByText('must be a number of 0 to 10000').waitFor();
    await page.getByText(/^1 ways? given, the last on/).waitFor();
    await page.getByRole('table', { name: 'Travel times' }).getByText('612').waitFor();
    expect(await planner.seriousFaults()).toEqual([]);
    expect((await planner.get<{ items: TravelTime[] }>('/travel-times')).items.map(({ fromName, minutes }) => [fromName, minutes])).toEqual([[one!.name, 612]]);
    await page.getByRole('button', { name: 'Clear the list…' }).click();
    await page.getByRole('button', { name: 'Clear it' }).click();
    await page.getByText('No travel times are given').waitFor();
    expect((await planner.get<{ items: TravelTime[] }>('/travel-times')).items).toEqual([]);
  });
});

describe('a new plan', () => {
  it('takes sites, speed, detour and currency', async () => {
    const { page } = planner;
    const { items: [site] } = await planner.get<{ items: Site[] }>('/sites?limit=1&sort=name');
    await planner.open('/route-plans', 'Route plans');
    await page.getByRole('button', { name: 'New plan' }).first().click();
    const dialog = page.getByRole('dialog', { name: 'New route plan' });
    await dialog.getByLabel('Name').fill('One site');
    await dialog.getByLabel('Time for the search, seconds').fill('1');
    await dialog.getByRole('combobox', { name: 'Sites' }).click();
    await page.getByRole('option', { name: site!.name }).click();
    await dialog.getByLabel('Speed where travel is estimated, km/h').fill('75');
    await dialog.getByLabel('Detour against the straight line').fill('1.5');
    await dialog.getByText('Prices, in cents of EUR').click();
    await dialog.getByLabel('Currency').fill('NOK');
    await dialog.getByText('Prices, in cents of NOK').waitFor();
    expect(await planner.seriousFaults()).toEqual([]);
    await dialog.getByRole('button', { name: 'Make the plan' }).click();
    await page.getByRole('heading', { level: 1, name: 'Routes: One site' }).waitFor();
    const id = /route-plans\/([\w-]+)\/show/.exec(page.url())![1]!;
    const plan = () => planner.get<RoutePlanDetail>(`/route-plans/${id}`);
    await expect.poll(async () => (await plan()).state, { timeout: 90_000, interval: 500 }).toBe('draft');
    const { settings, currency, visitList } = await plan();
    expect([settings.siteIds, settings.speedKmh, settings.detourFactor, currency]).toEqual([[site!.id], 75, 1.5, 'NOK']);
    expect(visitList.every(({ siteId }) => siteId === site!.id)).toBe(true);
  });
});
