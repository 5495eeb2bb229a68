import type { Browser, Locator, Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import type { MovePrices, PlanProblem, PlanVisit, PublishedVisit, RoutePlan, RoutePlanDetail, Site, Technician } from '@lintel/contract';
import { signedIn } from './signedIn.js';
import { Reader, type Lintel } from './support.js';

let lintel: Lintel;
let browser: Browser;
let planner: Reader;

signedIn('planner', (given) => {
  ({ lintel, browser, reader: planner } = given);
});

/** Kept where somebody wants to look at the pages. */
async function picture({ page }: Reader, name: string): Promise<void> {
  const folder = process.env['LINTEL_PICTURES'];
  if (!folder) return;
  for (const [size, width, height] of [['desktop', 1440, 900], ['tablet', 1024, 768], ['phone', 390, 844]] as const) {
    await page.setViewportSize({ width, height });
    await page.waitForTimeout(500);
    await page.screenshot({ path: `${folder}/${name}-${size}.png` });
  }
  await page.setViewportSize({ width: 1440, height: 900 });
}

const planAt = (id: string) => planner.get<RoutePlanDetail>(`/route-plans/${id}`);
const stopOf = (page: Page, visitId: string) => page.locator(`[data-visit="${visitId}"]`);
const spoken = (page: Page) => page.getByRole('status', { name: 'Moving a visit' });

/** The first day of the plans of this file: a Monday after the week that the demo plans. */
function mondayAfterNext(): string {
  const today = new Date();
  const days = 15 - (today.getUTCDay() || 7);
  return new Date(today.getTime() + days * 86_400_000).toISOString().slice(0, 10);
}

async function makePlan(page: Page, name: string, seconds: number): Promise<string> {
  await planner.open('/route-plans', 'Route plans');
  await page.getByRole('button', { name: 'New plan' }).first().click();
  const dialog = page.getByRole('dialog', { name: 'New route plan' });
  expect(await planner.seriousFaults()).toEqual([]);
  await dialog.getByLabel('Name').fill(name);
  await dialog.getByLabel('First day').fill(mondayAfterNext());
  await dialog.getByLabel('Time for the search, seconds').fill(String(seconds));
  await dialog.getByLabel('Longest visit, minutes').fill('120');
  await dialog.getByText('Prices, in cents of EUR').click();
  await dialog.getByLabel('A kilometre').fill('50');
  await dialog.getByRole('button', { name: 'Make the plan' }).click();
  await page.getByRole('heading', { level: 1, name: `Routes: ${name}` }).waitFor();
  return /route-plans\/([\w-]+)\/show/.exec(page.url())![1]!;
}

/** The demo computes what is due when it starts: a plan made before that has nothing to do. */
async function fleetComputed(): Promise<void> {
  await expect.poll(async () => (await planner.get<{ items: unknown[] }>('/due-items?limit=1')).items.length, { timeout: 120_000, interval: 1000 }).toBe(1);
}

/** Takes the price out of what is spoken: minor units of EUR. */
function priceIn(words: string): number {
  const [, sign, money] = /([+−±])EUR ([\d,.]+)\.?$/.exec(words) ?? [];
  if (!sign || !money) throw new Error(`no price in: ${words}`);
  return (sign === '−' ? -1 : 1) * Math.round(Number(money.replace(/\.$/, '').replaceAll(',', '')) * 100);
}

/** From a hundred on a sum is shown without cents. */
const asShown = (minorUnits: number) => (Math.abs(minorUnits) >= 10_000 ? 50 : 1);

async function saysPrice(live: Locator): Promise<boolean> {
  return /[+−]EUR/.test(await live.innerText());
}

async function movableVisit(id: string, plan: RoutePlanDetail): Promise<{ visit: PlanVisit; to: MovePrices['places'][number] }> {
  for (const visit of plan.visitList.filter(({ technicianId, locked }) => technicianId !== null && !locked)) {
    const { places } = await planner.get<MovePrices>(`/route-plans/${id}/visits/${visit.id}/moves`);
    const to = places.find((place) => place.technicianId === visit.technicianId && place.onDate !== visit.onDate && place.breaches.length === 0);
    if (to) return { visit, to };
  }
  throw new Error('no visit of the plan can go to another day');
}

describe('a route plan', () => {
  let id = '';

  it('is asked for, its progress is seen, and its days, map, costs and parts are shown', async () => {
    const { page } = planner;
    await fleetComputed();
    id = await makePlan(page, 'Trial week', 6);
    await page.getByRole('region', { name: 'Progress' }).getByText(/The plan is being made: \d+ % of its time, [\d,]+ trials/).waitFor({ timeout: 60_000 });
    await page.getByRole('button', { name: 'Accept', exact: true }).waitFor({ timeout: 60_000 });
    const plan = await planAt(id);
    expect(plan.settings.prices.perKm).toBe(50);
    const served = plan.visitList.filter(({ technicianId }) => technicianId !== null);
    expect(served.length).toBeGreaterThan(0);
    expect(await page.locator('[data-track] button').count()).toBe(served.length);
    await page.locator('[data-ground] path').first().waitFor({ state: 'attached' });
    expect((await page.locator('[data-ground] path').first().getAttribute('d'))!.length).toBeGreaterThan(1000);
    const first = plan.routes.find(({ visitIds }) => visitIds.length > 0)!;
    await stopOf(page, first.visitIds[0]!).click();
    const visit = plan.visitList.find(({ id: one }) => one === first.visitIds[0])!;
    const panel = page.getByRole('region', { name: `Visit: ${visit.siteName}` });
    expect(await panel.getByRole('list', { name: 'Work of the visit' }).getByRole('listitem').count()).toBe(visit.items.length);
    const site = page.getByRole('group', { name: 'Map of the plan' }).getByRole('button', { name: new RegExp(`^${visit.siteName}, stop`) });
    expect(await site.getAttribute('aria-pressed')).toBe('true');
    await page.getByRole('region', { name: 'Cost of the plan' }).getByText('Life thrown away by coming early').waitFor();
    // The sums that the panel lists are the whole cost: each is rounded to a minor unit, visit by visit.
    const parts = plan.visitList.reduce((sum, { costs }) => sum + costs.late + costs.early + costs.moved + costs.trip + costs.unserved, 0);
    const driven = plan.routes.filter(({ visitIds }) => visitIds.length > 0).length * plan.settings.prices.route;
    expect(Math.abs(plan.cost! - plan.travelCost! - driven - parts)).toBeLessThanOrEqual(3 * plan.visitList.length);
    await page.getByRole('region', { name: 'Parts for the vans' }).waitFor();
    expect(await planner.seriousFaults()).toEqual([]);
    await picture(planner, 'plan');
  });

  it('lets a visit be moved by keys, at the price that is spoken', async () => {
    const { page } = planner;
    await planner.open(`/route-plans/${id}/show`, 'Routes: Trial week');
    const before = await planAt(id);
    const { visit } = await movableVisit(id, before);
    const live = spoken(page);
    await expect.poll(async () => {
      await stopOf(page, visit.id).focus();
      await page.keyboard.press('Enter');
      return live.innerText();
    }, { timeout: 15_000 }).toContain('Where it is now');
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Escape');
    expect(await live.innerText()).toContain('stays where it was');
    expect((await planAt(id)).version).toBe(before.version);
    await page.keyboard.press('Enter');
    for (const key of ['ArrowDown', 'ArrowUp']) {
      for (let steps = 0; steps < 5 && !(await saysPrice(live)); steps++) await page.keyboard.press(key);
    }
    const words = await live.innerText();
    expect(await planner.seriousFaults()).toEqual([]);
    await picture(planner, 'held');
    await page.keyboard.press('Enter');
    await live.getByText(/moved to/).waitFor();
    const after = await planAt(id);
    const moved = after.visitList.find(({ id: one }) => one === visit.id)!;
    expect([moved.technicianId, moved.onDate]).not.toEqual([visit.technicianId, visit.onDate]);
    expect(Math.abs(after.cost! - before.cost! - priceIn(words))).toBeLessThanOrEqual(asShown(priceIn(words)) + 1);
    await expect.poll(() => page.evaluate(() => document.activeElement?.getAttribute('data-visit'))).toBe(visit.id);
  });

  it('lets a visit be dragged to another day, shows the price, and refuses a place with why', async () => {
    const { page } = planner;
    await planner.open(`/route-plans/${id}/show`, 'Routes: Trial week');
    await page.locator('[data-track] button').first().waitFor();
    const before = await planAt(id);
    const { visit, to } = await movableVisit(id, before);
    const target = before.routes.find(({ technicianId, onDate }) => technicianId === to.technicianId && onDate === to.onDate)!;
    await page.waitForLoadState('networkidle');
    const stop = stopOf(page, visit.id);
    await stop.scrollIntoViewIfNeeded();
    const lane = page.locator(`[data-lane="${target.technicianId}/${target.shift}"] [data-track]`);
    const [from, into] = [(await stop.boundingBox())!, (await lane.boundingBox())!];
    await page.mouse.move(from.x + 8, from.y + 12);
    await page.mouse.down();
    await page.mouse.move(into.x + into.width / 2, into.y + into.height / 2, { steps: 6 });
    const live = spoken(page);
    await live.getByText(/[+−±]EUR/).waitFor();
    const price = priceIn(await live.innerText());
    await page.mouse.up();
    await live.getByText(/moved to/).waitFor();
    const after = await planAt(id);
    expect(after.visitList.find(({ id: one }) => one === visit.id)!.onDate).toBe(to.onDate);
    expect(Math.abs(after.cost! - before.cost! - price)).toBeLessThanOrEqual(asShown(price) + 1);

    await stop.focus();
    await page.keyboard.press('Enter');
    for (const key of ['ArrowDown', 'ArrowUp']) {
      for (let steps = 0; steps < after.routes.length && !(await live.innerText()).includes('not possible'); steps++) await page.keyboard.press(key);
    }
    expect(await live.innerText()).toMatch(/not possible\. .+\./);
    await page.keyboard.press('Enter');
    expect((await planAt(id)).version).toBe(after.version);
    await page.keyboard.press('Escape');
  });

  it('prices all places of a day with 60 stops within a tenth of a second', async () => {
    const { page } = planner;
    const [plan, kept] = await Promise.all([planAt(id), planner.get<PlanProblem>(`/route-plans/${id}/problem`)]);
    const { bigPlan, bigProblem } = sixtyStops(plan, kept);
    await page.route(`**/api/v1/route-plans/${id}`, (route) => route.fulfill({ json: bigPlan }));
    await page.route(`**/api/v1/route-plans/${id}/problem`, (route) => route.fulfill({ json: bigProblem }));
    await planner.open(`/route-plans/${id}/show`, 'Routes: Trial week');
    const stops = page.locator('[data-track] button');
    await stops.first().waitFor();
    await page.waitForLoadState('networkidle');
    expect(await stops.count()).toBe(60);
    await stops.nth(30).focus();
    const spent: number[] = [];
    for (let tries = 0; tries < 5; tries++) {
      await page.keyboard.press('Enter');
      spent.push(Number(await page.locator('[data-priced-ms]').getAttribute('data-priced-ms')));
      await page.keyboard.press('Escape');
    }
    process.stdout.write(`priced all places of one of 60 stops of a day in ${spent.map((ms) => `${ms} ms`).join(', ')}\n`);
    expect(Math.max(...spent)).toBeLessThanOrEqual(100);
  });

  it('is locked, published with missing parts first, made again with its difference, and replaced', async () => {
    const { page } = planner;
    await planner.open(`/route-plans/${id}/show`, 'Routes: Trial week');
    const { visitList } = await planAt(id);
    const visit = visitList.find(({ technicianId }) => technicianId !== null)!;
    await stopOf(page, visit.id).click();
    await page.getByRole('button', { name: 'Lock', exact: true }).click();
    await page.getByRole('button', { name: /^Visit \d+ .*, locked$/ }).first().waitFor();
    expect(await planner.send('POST', `/route-plans/${id}/visits/${visit.id}/move`, { technicianId: null })).toBe(409);

    await page.getByRole('button', { name: 'Accept', exact: true }).click();
    await page.getByRole('button', { name: 'Accept it' }).click();
    await publish(page, id);

    await page.getByRole('button', { name: 'Make it again…' }).click();
    await page.getByRole('dialog').getByLabel('Time for the search, seconds').fill('3');
    await page.getByRole('button', { name: 'Make it again', exact: true }).click();
    const difference = page.getByRole('region', { name: 'What this plan changes' });
    await difference.waitFor({ timeout: 90_000 });
    for (const word of ['Moved', 'Added', 'Dropped']) await difference.getByRole('heading', { name: new RegExp(`^${word}: `) }).waitFor();
    expect(await difference.innerText()).toMatch(/It costs EUR [\d,.]+ instead of EUR [\d,.]+/);
    expect(await planner.seriousFaults()).toEqual([]);
    await picture(planner, 'difference');
    const again = /route-plans\/([\w-]+)\/show/.exec(page.url())![1]!;
    expect(again).not.toBe(id);
    const kept = (await planAt(again)).visitList.filter(({ locked }) => locked);
    expect(kept.map(({ siteId, technicianId, onDate }) => ({ siteId, technicianId, onDate }))).toEqual([{ siteId: visit.siteId, technicianId: visit.technicianId, onDate: visit.onDate }]);
    await page.getByRole('button', { name: 'Accept', exact: true }).click();
    await page.getByRole('button', { name: 'Accept it' }).click();
    await publish(page, again);
    expect((await planAt(id)).state).toBe('superseded');
  });

  async function publish(page: Page, planId: string): Promise<void> {
    await page.getByRole('button', { name: 'Publish…' }).click();
    const dialog = page.getByRole('dialog', { name: 'Publish the plan' });
    const missing = (await planAt(planId)).routes.flatMap(({ carry }) => carry).reduce((sum, part) => sum + part.missing, 0);
    await dialog.getByRole('heading', { name: missing > 0 ? new RegExp(`^Missing in the vans: ${missing} part`) : 'No part is missing in the vans.' }).waitFor();
    await dialog.getByRole('button', { name: 'Publish it' }).click();
    await expect.poll(async () => (await planAt(planId)).state, { timeout: 20_000 }).toBe('published');
  }

  it('can be stopped while it is being made: the best so far is the draft', async () => {
    const { page } = planner;
    const long = await makePlan(page, 'Long search', 300);
    await page.getByRole('region', { name: 'Progress' }).getByText(/The plan is being made/).waitFor({ timeout: 60_000 });
    await page.getByRole('button', { name: 'Stop: take the best so far' }).click();
    await page.getByRole('button', { name: 'Accept', exact: true }).waitFor({ timeout: 60_000 });
    expect((await planAt(long)).state).toBe('draft');
    await page.getByRole('button', { name: 'Throw it away…' }).click();
    await page.getByRole('button', { name: 'Throw it away', exact: true }).click();
    await expect.poll(async () => (await planAt(long)).state, { timeout: 20_000 }).toBe('discarded');
  });

  it('shows an owner the published visits of its own sites, and nothing to change', async () => {
    const owner = await Reader.at(browser, lintel, 'owner');
    const { page } = owner;
    const sites = new Set((await owner.get<{ items: Site[] }>('/sites?limit=100')).items.map(({ id: site }) => site));
    const { items } = await owner.get<{ items: PublishedVisit[] }>('/visits?limit=100');
    const all = await planner.get<{ items: PublishedVisit[] }>('/visits?limit=100');
    expect(items.map(({ id: one }) => one).sort()).toEqual(all.items.filter(({ siteId }) => sites.has(siteId)).map(({ id: one }) => one).sort());
    await owner.open('/visits', 'Visits');
    if (items.length > 0) await page.getByRole('table', { name: 'Visits' }).getByText('your service company').first().waitFor();
    expect(await page.getByRole('link', { name: 'Route plans' }).count()).toBe(0);
    expect(await owner.seriousFaults()).toEqual([]);
    await owner.open(`/sites/${[...sites][0]}/show`, /./);
    await page.getByRole('region', { name: 'Visits to come' }).waitFor();
    expect(await page.getByRole('button', { name: 'Add hours' }).count()).toBe(0);
    await owner.close();
  });
});

describe('a technician', () => {
  it('has a page with hours, absences, van, and a calendar address that is shown once and revoked', async () => {
    const { page } = planner;
    const { items } = await planner.get<{ items: Technician[] }>('/technicians?limit=1&sort=name');
    const technician = items[0]!;
    await planner.open('/technicians', 'Technicians');
    await page.getByRole('link', { name: technician.name }).click();
    await page.getByRole('heading', { level: 1, name: technician.name }).waitFor();
    await page.getByRole('button', { name: 'Add an absence' }).click();
    await page.getByLabel('First day').fill('2031-03-03');
    await page.getByLabel('Last day').fill('2031-03-05');
    await page.getByRole('button', { name: 'Add it' }).click();
    await page.getByText('3 Mar – 5 Mar 2031').waitFor();
    await page.getByRole('button', { name: 'Make an address' }).click();
    const address = await page.getByLabel('Secret address').inputValue();
    const calendar = await planner.context.request.get(address);
    expect([calendar.status(), (await calendar.text()).slice(0, 15)]).toEqual([200, 'BEGIN:VCALENDAR']);
    expect(await planner.seriousFaults()).toEqual([]);
    await picture(planner, 'technician');
    await page.reload();
    await page.getByRole('button', { name: /^Revoke: address of/ }).first().click();
    expect(await page.getByLabel('Secret address').count()).toBe(0);
    await page.getByRole('button', { name: 'Revoke it' }).click();
    await expect.poll(async () => (await planner.context.request.get(address)).status()).toBe(404);
    await planner.open(`/technicians/${technician.id}`, `Change ${technician.name}`);
    expect(await planner.seriousFaults()).toEqual([]);
  });

  it('meets a site at its access hours, which a planner adds and removes', async () => {
    const { page } = planner;
    const { items } = await planner.get<{ items: Site[] }>('/sites?limit=1&sort=name');
    await planner.open(`/sites/${items[0]!.id}/show`, items[0]!.name);
    const panel = page.getByRole('region', { name: 'Access hours' });
    await panel.getByRole('button', { name: 'Add hours' }).click();
    await page.getByRole('combobox', { name: 'Weekday' }).click();
    await page.getByRole('option', { name: 'Saturday' }).click();
    await page.getByLabel('From').fill('09:15');
    await page.getByLabel('Until').fill('09:10');
    await page.getByRole('button', { name: 'Save' }).click();
    await page.getByRole('dialog').getByText('must be later than opensAt').first().waitFor();
    await page.getByLabel('Until').fill('11:45');
    await page.getByRole('button', { name: 'Save' }).click();
    await panel.getByText('09:15–11:45').waitFor();
    expect(await planner.seriousFaults()).toEqual([]);
    await panel.getByRole('button', { name: 'Remove: Saturday 09:15' }).click();
    await page.getByRole('button', { name: 'Remove them' }).click();
    // Until it is closed, the dialog hides the panel from a reader of roles.
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    await panel.getByText('09:15–11:45').waitFor({ state: 'detached' });
  });
});

/** The plan with 60 short stops on one day of one technician, for measuring alone. */
function sixtyStops(plan: RoutePlanDetail, kept: PlanProblem): { bigPlan: RoutePlan; bigProblem: PlanProblem } {
  const route = plan.routes.find(({ visitIds }) => visitIds.length > 0)!;
  const visit = plan.visitList.find(({ id }) => id === route.visitIds[0])!;
  const stop = kept.problem.stops.find(({ id }) => id === visit.id)!;
  const ids = Array.from({ length: 60 }, (_, index) => `00000000-0000-4000-8000-${String(index).padStart(12, '0')}`);
  const begin = Date.parse(route.shiftFrom);
  const at = (minutes: number) => new Date(begin + minutes * 60_000).toISOString();
  const visitList = ids.map((id, index): PlanVisit => ({
    ...visit, id, ordinal: index, minutes: 5, arriveAt: at(index * 8), startAt: at(index * 8), leaveAt: at(index * 8 + 5), locked: false, startedAt: null,
  }));
  const places = kept.problem.travelMinutes.length;
  return {
    bigPlan: { ...plan, state: 'draft', visitList, routes: plan.routes.map((one) => ({ ...one, visitIds: one === route ? ids : [] })) } as RoutePlan,
    bigProblem: {
      ...kept,
      problem: { ...kept.problem, stops: ids.map((id, index) => ({ ...stop, id, minutes: 5, place: index % places })) },
      routes: [{ technician: route.technicianId, shift: route.shift, stops: ids }],
    },
  };
}
