import type { Browser } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import type { Door, DueItem, Outlook, Owner, Position, Reading } from '@lintel/contract';
import { signedIn } from './signedIn.js';
import { choose, column, Reader, type Lintel } from './support.js';

interface List<T> {
  items: T[];
}

let lintel: Lintel;
let browser: Browser;
let planner: Reader;

signedIn('planner', (given) => {
  ({ lintel, browser, reader: planner } = given);
});

async function someDoor(query: string): Promise<Door> {
  const [door] = (await planner.get<List<Door>>(`/doors?limit=1&${query}`)).items;
  if (!door) throw new Error(`no door with ${query}`);
  return door;
}

describe('sign-in', () => {
  it('refuses a wrong password in words, and lets a planner in to the Outlook', async () => {
    const stranger = await Reader.at(browser, lintel, null);
    const { page } = stranger;
    await page.goto(lintel.base);
    await page.getByLabel('E-mail').fill('planner@demo.example');
    await page.getByLabel('Password').fill('not the password');
    await page.getByRole('button', { name: 'Sign in' }).click();
    expect(await page.getByRole('alert').innerText()).toContain('E-mail or password is wrong');
    await page.getByLabel('Password').fill(lintel.password);
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByRole('heading', { level: 1, name: 'Outlook' }).waitFor();
    await page.getByRole('button', { name: /Planner/ }).click();
    await page.getByRole('menuitem', { name: 'Sign out' }).click();
    await page.getByRole('button', { name: 'Sign in' }).waitFor();
    await stranger.close();
  });
});

describe('Outlook', () => {
  it('shows overdue safety inspections before everything else, the longest overdue first', async () => {
    const outlook = await planner.get<Outlook>('/outlook');
    expect(outlook.totals.overdueSafety, 'the demo holds overdue inspections').toBeGreaterThan(0);
    await planner.open('/', 'Outlook');
    const first = planner.page.getByRole('main').getByRole('region').first();
    expect(await first.getAttribute('aria-label')).toBe('Overdue safety inspections');
    const text = await first.innerText();
    expect(text).toContain(String(outlook.totals.overdueSafety));
    const [line] = await first.getByRole('listitem').allInnerTexts();
    const [item] = outlook.overdueSafety;
    expect(line).toContain(item?.doorName);
    expect(line).toContain(item?.taskName);
    const latest = outlook.overdueSafety.map(({ latestOn }) => latestOn);
    expect(latest).toEqual([...latest].sort());
  });

  it('draws twelve weeks with the counts of the server, each leading to its due work', async () => {
    const { weeks } = await planner.get<Outlook>('/outlook');
    await planner.open('/', 'Outlook');
    const columns = planner.page.getByRole('group', { name: 'What falls due, by week' }).getByRole('button');
    await columns.first().waitFor();
    const shown = (await columns.allInnerTexts()).map((text) => Number(text.split('\n')[0]));
    expect(shown).toEqual(weeks.map((week) => week.safety + week.maintenance + week.overdueOther));
    expect(shown).toHaveLength(12);
    const third = weeks[2];
    await columns.nth(2).click();
    await planner.page.getByRole('heading', { level: 1, name: 'Due work' }).waitFor();
    expect(await planner.page.getByLabel('Due from').inputValue()).toBe(third?.from);
    expect(await planner.page.getByLabel('Due to').inputValue()).toBe(third?.to);
  });
});

describe('Doors', () => {
  it('are narrowed by state, by text and by owner', async () => {
    const out = (await planner.get<List<Door>>('/doors?limit=100&state=out-of-service')).items;
    expect(out.length, 'the demo holds a door out of service').toBeGreaterThan(0);
    await planner.open('/doors', 'Doors');
    const { page } = planner;
    await page.getByRole('table', { name: 'Doors' }).waitFor();
    await choose(page, 'State', 'out of service');
    await page.getByText(`1–${out.length} in all`).waitFor();
    expect(await column(page, 'Doors', 'State')).toEqual(out.map(() => 'out of service'));

    const door = await someDoor('kind=freezer');
    await choose(page, 'State', 'All');
    await page.getByText(`1–${out.length} in all`).waitFor({ state: 'detached' });
    await page.getByLabel('Door or serial').fill(door.serial ?? '');
    await page.getByText('1–1 in all').waitFor();
    expect(await column(page, 'Doors', 'Site')).toEqual([door.siteName]);

    await page.getByLabel('Door or serial').fill('');
    await page.getByText('1–1 in all').waitFor({ state: 'detached' });
    await page.getByRole('combobox', { name: 'Owner' }).fill(door.ownerName);
    await page.getByRole('option', { name: door.ownerName }).click();
    await page.waitForFunction(
      (owner) => [...document.querySelectorAll('tbody tr > td:nth-child(4)')].every((cell) => cell.textContent === owner),
      door.ownerName,
    );
    expect(new Set(await column(page, 'Doors', 'Owner'))).toEqual(new Set([door.ownerName]));
  });

  it('are put in order by the server, a page at a time', async () => {
    await planner.open('/doors', 'Doors');
    const { page } = planner;
    await page.getByRole('button', { name: 'Cycles a day' }).click();
    await page.locator('th[aria-sort="ascending"]', { hasText: 'Cycles a day' }).waitFor();
    const { items } = await planner.get<List<Door>>('/doors?limit=50&sort=cyclesPerDay');
    await page.waitForFunction((name) => document.querySelector('tbody tr > td:nth-child(2)')?.textContent === name, items[0]?.name ?? '');
    expect(await column(page, 'Doors', 'Door')).toEqual(items.map(({ name }) => name));
    await page.getByRole('button', { name: 'Next', exact: true }).click();
    await page.getByText('51–100, more follow').waitFor();
  });

  it('say so where nothing matches, and offer the way back', async () => {
    await planner.open('/doors', 'Doors');
    await planner.page.getByLabel('Door or serial').fill('no door is called this');
    await planner.page.getByText('Nothing matches').waitFor();
    await planner.page.getByRole('button', { name: 'Clear the filters' }).click();
    await planner.page.getByRole('table', { name: 'Doors' }).waitFor();
    expect(await planner.page.getByLabel('Door or serial').inputValue()).toBe('');
  });
});

describe("a door's page", () => {
  it('draws the door true to its size, with every position on it, reachable by the keyboard', async () => {
    const door = await someDoor('kind=freezer&state=in-service');
    const positions = (await planner.get<List<Position>>(`/positions?limit=100&archived=false&doorTypeId=${door.doorTypeId}`)).items;
    await planner.open(`/doors/${door.id}/show`, `Door ${door.name}`);
    const drawing = planner.page.getByRole('group', { name: /^Front elevation of door/ });
    const opening = await drawing.locator('[data-part="opening"]').boundingBox();
    if (!opening) throw new Error('the opening is not drawn');
    expect(opening.width / opening.height).toBeCloseTo(door.widthMm / door.heightMm, 1);

    const buttons = drawing.getByRole('button');
    const names = await buttons.evaluateAll((all) => all.map((button) => button.getAttribute('aria-label') ?? ''));
    expect(names).toHaveLength(positions.length);
    for (const { name } of positions) expect(names.filter((label) => label.startsWith(`${name}: `))).toHaveLength(1);
    expect(names.every((label) => /: (sound|wearing|worn|unknown|no part)/.test(label))).toBe(true);

    const chain = drawing.getByRole('button', { name: /^Drive chain:/ });
    await chain.focus();
    await planner.page.keyboard.press('Enter');
    expect(await chain.getAttribute('aria-pressed')).toBe('true');
    await planner.page.getByRole('heading', { level: 3, name: 'Drive chain' }).waitFor();
  });

  it('shows the cautions, each due item with its reason, the forecast and the history', async () => {
    const door = await someDoor('kind=cooler&state=in-service');
    const due = (await planner.get<List<DueItem>>(`/due-items?doorId=${door.id}&limit=100`)).items;
    await planner.open(`/doors/${door.id}/show`, `Door ${door.name}`);
    const { page } = planner;
    const cautions = await page.getByRole('region', { name: 'Before work at the door' }).innerText();
    for (const caution of ['Isolate and lock out', 'Prove dead', 'Secure the panel', 'Keep people out of the opening']) {
      expect(cautions).toContain(caution);
    }
    const panel = page.getByRole('region', { name: 'Due at this door' });
    await panel.getByRole('listitem').first().waitFor();
    const lines = await panel.getByRole('listitem').allInnerTexts();
    expect(lines).toHaveLength(due.length);
    for (const line of lines) expect(line).toMatch(/Every .*(months?|cycles).*; (last done on|never done)/);
    await page.getByRole('img', { name: /^Lifetime cycles over time: .*forecast/ }).waitFor();
    expect(await page.getByRole('region', { name: 'History' }).getByRole('listitem').count()).toBeGreaterThan(0);
  });

  it('takes a reading, which then stands in the list and is judged', async () => {
    const door = await someDoor('kind=dock&state=in-service');
    const [last] = (await planner.get<List<Reading>>(`/readings?doorId=${door.id}&limit=1&sort=-at`)).items;
    const value = (last?.value ?? 0) + 7;
    await planner.open(`/doors/${door.id}/show`, `Door ${door.name}`);
    const { page } = planner;
    await page.getByRole('button', { name: 'Record a reading' }).click();
    await page.getByRole('button', { name: 'Record the reading' }).click();
    expect(await page.getByRole('dialog').innerText()).toContain('Required');
    await page.getByLabel('The counter shows').fill(String(value));
    await page.getByRole('button', { name: 'Record the reading' }).click();
    await page.getByText('The reading has been recorded').waitFor();
    await page.getByRole('link', { name: 'Its readings' }).click();
    const row = page.getByRole('row').filter({ hasText: value.toLocaleString('en') }).first();
    await row.waitFor();
    await row.getByText(/^(used|set aside)/).waitFor({ timeout: 90_000 });
    const [newest] = (await planner.get<List<Reading>>(`/readings?doorId=${door.id}&limit=1&sort=-at`)).items;
    expect(newest?.value).toBe(value);
    expect(newest?.source).toBe('form');
  });

  it('takes a completed task, and shows it in the history', async () => {
    const door = await someDoor('kind=freezer&state=in-service');
    await planner.open(`/doors/${door.id}/show`, `Door ${door.name}`);
    const { page } = planner;
    await page.getByRole('button', { name: 'Done… Function test of the safety devices' }).click();
    const dialog = page.getByRole('dialog');
    expect(await dialog.innerText()).toContain('Isolate and lock out');
    await dialog.getByLabel('Note').fill('All devices stop the door');
    await dialog.getByRole('button', { name: 'Record it as done' }).click();
    await page.getByText('The task has been recorded').waitFor();
    await page.getByRole('region', { name: 'History' }).getByText('All devices stop the door').waitFor();
  });

  it('takes a door out of service with its reason, which everybody reads', async () => {
    const door = await someDoor('kind=cooler&state=in-service&sort=-name');
    await planner.open(`/doors/${door.id}/show`, `Door ${door.name}`);
    const { page } = planner;
    await page.getByRole('button', { name: 'More', exact: true }).click();
    await page.getByRole('menuitem', { name: 'Take out of service' }).click();
    await page.getByLabel('Reason').fill('The curtain hangs on one side');
    await page.getByRole('button', { name: 'Take it out of service' }).click();
    await page.getByText('This door is out of service').waitFor();
    expect(await page.getByRole('main').innerText()).toContain('The curtain hangs on one side');
    expect((await planner.get<Door>(`/doors/${door.id}`)).state).toBe('out-of-service');
  });
});

describe('Readings', () => {
  it('are overruled with a note, never without', async () => {
    const [mistyped] = (await planner.get<List<Reading>>('/readings?verdict=mistyped&limit=1')).items;
    if (!mistyped) throw new Error('the demo holds a mistyped reading');
    await planner.open(`/readings?filter=${encodeURIComponent(JSON.stringify({ verdict: 'mistyped' }))}`, 'Readings');
    const { page } = planner;
    await page.getByRole('button', { name: /^Overrule the reading/ }).first().click();
    const dialog = page.getByRole('dialog');
    await dialog.getByRole('button', { name: 'Overrule' }).click();
    await dialog.getByText('Say why: the note is kept').waitFor();
    expect((await planner.get<Reading>(`/readings/${mistyped.id}`)).overrule).toBeNull();
    await dialog.getByLabel('Why').fill('Read twice, it is right');
    await dialog.getByRole('button', { name: 'Overrule' }).click();
    await page.getByText('The verdict has been overruled').waitFor();
    const after = await planner.get<Reading>(`/readings/${mistyped.id}`);
    expect(after.overrule).toMatchObject({ use: true, note: 'Read twice, it is right' });
  });
});

describe('Imports', () => {
  it('read a foreign file, name every refused line and why, and remember its columns', async () => {
    const door = await someDoor('kind=dock&state=in-service&sort=-name');
    const [last] = (await planner.get<List<Reading>>(`/readings?doorId=${door.id}&verdict=used&limit=1&sort=-at`)).items;
    if (!last) throw new Error('the demo holds readings of every door');
    const before = new Date(Date.parse(last.at) - 3_600_000).toISOString();
    const lines = [
      'Tor;Werk;Abgelesen;Stand',
      `${door.name};${door.siteName};${before};${last.value}`,
      `${door.name};${door.siteName};yesterday;13`,
      `no such door;${door.siteName};2019-01-01 07:00;14`,
      `${door.name};${door.siteName};2019-01-01 08:00;many`,
    ];
    const file = { name: 'foreign.csv', mimeType: 'text/csv', buffer: Buffer.from(`${lines.join('\n')}\n`) };
    await planner.open('/imports/create', 'Bring a file in');
    const { page } = planner;
    await page.getByLabel('CSV file').setInputFiles(file);
    await page.getByRole('table', { name: 'First lines of the file' }).waitFor();
    await page.getByRole('button', { name: 'Upload' }).click();
    await page.getByRole('heading', { level: 1, name: 'foreign.csv' }).waitFor();
    await choose(page, /^Door’s name/, 'Tor');
    await choose(page, /^Site/, 'Werk');
    await choose(page, /^Read at/, 'Abgelesen');
    await choose(page, /^Value shown/, 'Stand');
    expect(await column(page, 'Preview', 'Value shown')).toEqual([String(last.value), '13', '14', 'many']);
    await page.getByRole('button', { name: 'Read the file in' }).click();
    await page.getByRole('table', { name: 'Refused lines' }).waitFor({ timeout: 90_000 });
    expect(await column(page, 'Refused lines', 'Line')).toEqual(['3', '4', '5']);
    expect(await column(page, 'Refused lines', 'Field')).toEqual(['Read at', 'Door’s name', 'Value shown']);
    for (const why of await column(page, 'Refused lines', 'Why')) expect(why.length).toBeGreaterThan(10);
    expect(await page.getByRole('region', { name: 'Report' }).innerText()).toMatch(/4\s+lines read\s+1\s+taken/);

    await planner.open('/imports/create', 'Bring a file in');
    await page.getByLabel('CSV file').setInputFiles(file);
    await page.getByRole('button', { name: 'Upload' }).click();
    await page.getByRole('combobox', { name: /^Value shown/ }).getByText('Stand').waitFor();
    await page.getByRole('button', { name: 'Cancel the import' }).click();
    await page.getByText('The import was cancelled').waitFor();
  });
});

describe('a stale change', () => {
  it('is compared field by field, and nothing of either side is lost', async () => {
    const [owner] = (await planner.get<List<Owner>>('/owners?limit=1')).items;
    if (!owner) throw new Error('the demo holds owners');
    await planner.open(`/owners/${owner.id}`, owner.name);
    const { page } = planner;
    await page.getByLabel('Contact').fill('Mine Here');
    const status = await planner.send('PATCH', `/owners/${owner.id}`, { contactName: 'Theirs There', phone: '555 0199' }, { 'if-match': `"${owner.version}"` });
    expect(status).toBe(200);
    await page.getByRole('button', { name: 'Save' }).click();
    const dialog = page.getByRole('dialog', { name: 'Somebody else saved this meanwhile' });
    await dialog.waitFor();
    expect(await column(page, 'Both versions', 'Field')).toEqual(['Contact name', 'Phone']);
    expect(await column(page, 'Both versions', 'Saved meanwhile')).toEqual(['Theirs There', '555 0199']);
    expect((await column(page, 'Both versions', 'Yours'))[0]).toBe('Mine Here');
    expect((await planner.get<Owner>(`/owners/${owner.id}`)).contactName).toBe('Theirs There');
    await dialog.getByRole('button', { name: 'Save what I chose' }).click();
    await page.getByRole('heading', { level: 1, name: 'Owners' }).waitFor();
    expect(await planner.get<Owner>(`/owners/${owner.id}`)).toMatchObject({ contactName: 'Mine Here', phone: '555 0199' });
  });
});

describe('refusals', () => {
  it('are shown at their fields', async () => {
    await planner.open('/sites/create', 'Add a site');
    const { page } = planner;
    await page.getByLabel('Name').fill('A new place');
    await page.getByRole('combobox', { name: 'Owner' }).click();
    await page.getByRole('option').first().click();
    await page.getByLabel('Country').fill('NO');
    await page.getByRole('combobox', { name: 'Time zone' }).fill('Oslo');
    await page.getByRole('option', { name: 'Europe/Oslo' }).click();
    await page.getByLabel('Months between safety inspections').fill('6');
    await page.getByRole('button', { name: 'Save' }).click();
    await page.getByText('is needed where regimeMonths is set').first().waitFor();
    expect(await page.getByLabel('Source of that interval').getAttribute('aria-invalid')).toBe('true');
  });
});
