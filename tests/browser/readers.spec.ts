import type { Browser } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import type { Door, DoorType, Owner, Plan, Site } from '@lintel/contract';
import { inHouse } from './signedIn.js';
import { column, Reader, type Lintel } from './support.js';

interface List<T> {
  items: T[];
}

let lintel: Lintel;
let browser: Browser;

inHouse((given) => ({ lintel, browser } = given));

async function menuOf(reader: Reader): Promise<string[]> {
  return reader.page.getByRole('navigation', { name: 'Main' }).getByRole('link').allInnerTexts();
}

describe('a facility owner', () => {
  it('sees its own sites and doors alone, and can change nothing', async () => {
    const owner = await Reader.at(browser, lintel, 'owner');
    const planner = await Reader.at(browser, lintel, 'planner');
    const { account } = await owner.get<{ account: { ownerId: string } }>('/session');
    const own = (await planner.get<List<Site>>(`/sites?limit=100&ownerId=${account.ownerId}`)).items;
    const all = (await planner.get<List<Site>>('/sites?limit=100')).items;
    expect(own.length).toBeGreaterThan(0);
    expect(all.length).toBeGreaterThan(own.length);

    await owner.open('/sites', 'Sites');
    const { page } = owner;
    await page.getByRole('table', { name: 'Sites' }).waitFor();
    expect(await menuOf(owner)).toEqual(['Outlook', 'Sites', 'Doors', 'Visits', 'Work orders', 'Faults', 'Compliance', 'Findings', 'Certificates']);
    expect((await column(page, 'Sites', 'Site')).sort()).toEqual(own.map(({ name }) => name).sort());
    expect(await page.getByRole('link', { name: 'Add a site' }).count()).toBe(0);

    const [mine] = (await owner.get<List<Door>>('/doors?limit=1')).items;
    await owner.open(`/doors/${mine?.id}/show`, `Door ${mine?.name}`);
    await page.getByRole('region', { name: 'History' }).waitFor();
    for (const deed of ['Record a reading', 'Complete a task', 'More', 'Change part']) {
      expect(await page.getByRole('button', { name: deed, exact: true }).count()).toBe(0);
    }

    const strange = all.find(({ ownerId }) => ownerId !== account.ownerId);
    const [foreignDoor] = (await planner.get<List<Door>>(`/doors?limit=1&siteId=${strange?.id}`)).items;
    await page.goto(`${lintel.base}/#/doors/${foreignDoor?.id}/show`);
    await page.getByRole('alert').getByText('Not found').first().waitFor();
    expect(await page.getByRole('main').innerText()).not.toContain(foreignDoor?.siteName);
    await planner.close();
    await owner.close();
  });

  it('is told where a page is not open to it', async () => {
    const owner = await Reader.at(browser, lintel, 'owner');
    await owner.page.goto(`${lintel.base}/#/accounts`);
    await owner.page.getByText('Your account may not see this page').waitFor();
    expect(await owner.page.getByRole('table').count()).toBe(0);
    await owner.close();
  });
});

describe('a technician', () => {
  it('records at doors but neither overrules nor administers', async () => {
    const technician = await Reader.at(browser, lintel, 'technician');
    await technician.open('/readings', 'Readings');
    const { page } = technician;
    await page.getByRole('table', { name: 'Readings' }).waitFor();
    expect(await page.getByRole('button', { name: /^Overrule/ }).count()).toBe(0);
    expect(await menuOf(technician)).not.toContain('People');
    const [door] = (await technician.get<List<Door>>('/doors?limit=1&state=in-service')).items;
    await technician.open(`/doors/${door?.id}/show`, `Door ${door?.name}`);
    await page.getByRole('button', { name: 'Record a reading' }).waitFor();
    await page.getByRole('button', { name: 'More', exact: true }).click();
    expect(await page.getByRole('menuitem').allInnerTexts()).toEqual(['Take out of service', 'Change the counter']);
    await technician.close();
  });
});

describe('without a network', () => {
  it('a page says so, keeps what it shows, and recovers', async () => {
    const planner = await Reader.at(browser, lintel, 'planner');
    await planner.open('/doors', 'Doors');
    await planner.page.getByRole('table', { name: 'Doors' }).waitFor();
    await planner.context.setOffline(true);
    await planner.page.getByRole('status').getByText('No connection').waitFor();
    expect(await planner.page.getByRole('table', { name: 'Doors' }).count()).toBe(1);
    await planner.context.setOffline(false);
    await planner.page.getByText('No connection').waitFor({ state: 'detached' });
    await planner.close();
  });
});

describe('a window that was open while a newer version was installed', () => {
  it('is told to load the page again where a file is gone', async () => {
    const planner = await Reader.at(browser, lintel, 'planner');
    await planner.open('/', 'Outlook');
    await planner.context.route('**/assets/*.js', (route) => route.fulfill({ status: 404, body: '' }));
    await planner.page.getByRole('link', { name: 'Maintenance plans' }).click();
    await planner.page.getByRole('button', { name: 'Load the page again' }).waitFor();
    await planner.context.unroute('**/assets/*.js');
    await planner.page.getByRole('button', { name: 'Load the page again' }).click();
    await planner.page.getByRole('heading', { level: 1, name: 'Maintenance plans' }).waitFor();
    expect(await planner.page.getByText('could not be fetched').count()).toBe(0);
    await planner.close();
  });
});

describe('every page', () => {
  it('stands without serious faults of access and asks nothing outside its own origin', async () => {
    const admin = await Reader.at(browser, lintel, 'admin');
    const [door] = (await admin.get<List<Door>>('/doors?limit=1&kind=freezer')).items;
    const [site] = (await admin.get<List<Site>>('/sites?limit=1')).items;
    const [type] = (await admin.get<List<DoorType>>('/door-types?limit=1&kind=freezer')).items;
    const [plan] = (await admin.get<List<Plan>>('/plans?limit=1')).items;
    const [owner] = (await admin.get<List<Owner>>('/owners?limit=1')).items;
    const pages: [path: string, heading: string][] = [
      ['/', 'Outlook'],
      ['/sites', 'Sites'],
      [`/sites/${site?.id}/show`, site?.name ?? ''],
      [`/sites/${site?.id}`, `Change ${site?.name}`],
      ['/doors', 'Doors'],
      [`/doors/${door?.id}/show`, `Door ${door?.name}`],
      [`/doors/${door?.id}`, `Change door ${door?.name}`],
      ['/due-items', 'Due work'],
      ['/readings', 'Readings'],
      ['/imports', 'Imports'],
      ['/imports/create', 'Bring a file in'],
      ['/plans', 'Maintenance plans'],
      [`/plans/${plan?.id}/show`, plan?.name ?? ''],
      [`/tasks/create?planId=${plan?.id}`, 'Add a task'],
      ['/door-types', 'Door types'],
      [`/door-types/${type?.id}/show`, type?.name ?? ''],
      [`/positions/create?doorTypeId=${type?.id}`, 'Add a position'],
      ['/route-plans', 'Route plans'],
      ['/visits', 'Visits'],
      ['/technicians', 'Technicians'],
      ['/technicians/create', 'Add a technician’s profile'],
      ['/owners', 'Owners'],
      [`/owners/${owner?.id}`, owner?.name ?? ''],
      ['/accounts', 'People'],
      ['/accounts/create', 'Add a person'],
      ['/jobs', 'Jobs'],
      ['/ledger', 'Ledger'],
      ['/nowhere', 'No such page'],
    ];
    const faults: Record<string, string[]> = {};
    for (const [path, heading] of pages) {
      await admin.open(path, heading);
      await admin.page.waitForLoadState('networkidle');
      const found = await admin.seriousFaults();
      if (found.length > 0) faults[path] = found;
    }
    expect(faults).toEqual({});
    await admin.close();
  });

  it('so does the sign-in page', async () => {
    const stranger = await Reader.at(browser, lintel, null);
    await stranger.page.goto(lintel.base);
    await stranger.page.getByRole('button', { name: 'Sign in' }).waitFor();
    expect(await stranger.seriousFaults()).toEqual([]);
    await stranger.close();
  });

  it('fits a phone without being scrolled sideways', async () => {
    const planner = await Reader.at(browser, lintel, 'planner');
    await planner.page.setViewportSize({ width: 390, height: 844 });
    const [door] = (await planner.get<List<Door>>('/doors?limit=1')).items;
    for (const [path, heading] of [['/', 'Outlook'], ['/doors', 'Doors'], [`/doors/${door?.id}/show`, `Door ${door?.name}`], ['/readings', 'Readings']] as const) {
      await planner.open(path, heading);
      await planner.page.waitForLoadState('networkidle');
      const wide = await planner.page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
      expect(wide, path).toBeLessThanOrEqual(0);
    }
    await planner.close();
  });
});
