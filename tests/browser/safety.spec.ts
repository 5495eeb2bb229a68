import type { ComplianceSite, ForceLimitsInUse } from '@lintel/contract';
import { readFile } from 'node:fs/promises';
import { describe, expect, it } from 'vitest';
import { signedIn } from './signedIn.js';
import { choose, column, Reader, type Lintel } from './support.js';
import type { Browser } from 'playwright-core';

let lintel: Lintel;
let browser: Browser;
let admin: Reader;
signedIn('admin', (given) => ({ lintel, browser, reader: admin } = given));

const isoDay = (days: number): string => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10);

describe('force limits', () => {
  it('are loosened with a reason alone, and stay in red words until that is taken back', async () => {
    const { page } = admin;
    await admin.open('/force-limits', 'Force limits');
    await page.getByRole('button', { name: 'Change: Force after that time' }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByLabel(/New value/).fill('180');
    await dialog.getByRole('button', { name: 'Change it' }).click();
    await dialog.getByText('is needed: the value is looser than the present one').first().waitFor();
    expect((await admin.get<ForceLimitsInUse>('/force-limits')).table.rows.static.value).toBe(150);
    await dialog.getByLabel('Reason').fill('Bench trial');
    expect(await admin.seriousFaults()).toEqual([]);
    await dialog.getByRole('button', { name: 'Change it' }).click();
    await page.getByText('looser than 150 N').waitFor();
    expect(await column(page, 'Changes of the limits', 'Which way')).toEqual(['loosened']);
    expect(await column(page, 'Changes of the limits', 'From, to')).toEqual(['150 N → 180 N']);
    expect(await admin.seriousFaults()).toEqual([]);
    // Taking a part of it back is tighter, and the row still says what it first was.
    await page.getByRole('button', { name: 'Change: Force after that time' }).click();
    await dialog.getByLabel(/New value/).fill('160');
    await dialog.getByRole('button', { name: 'Change it' }).click();
    await dialog.waitFor({ state: 'detached' });
    await page.getByText('160 N', { exact: true }).waitFor();
    await page.getByText('looser than 150 N').waitFor();
    expect(await column(page, 'Changes of the limits', 'Which way')).toEqual(['tightened', 'loosened']);
  });

  it('are everybody’s of the staff to read, the checks of devices with them', async () => {
    const planner = await Reader.at(browser, lintel, 'planner');
    await planner.open('/force-limits', 'Force limits');
    await planner.page.getByText('Version 1').or(planner.page.getByText(/version \d/)).first().waitFor();
    expect(await planner.page.getByRole('button', { name: /^Change:/ }).count()).toBe(0);
    await planner.page.getByRole('link', { name: 'Checks of devices' }).click();
    await planner.page.getByRole('heading', { name: 'Checks of safety devices' }).waitFor();
    expect(await planner.page.getByText('resistance, untouched: at least 7.38 kΩ, at most 9.02 kΩ').count()).toBe(1);
    expect(await planner.page.getByText('common practice, no source').count()).toBeGreaterThan(3);
    expect(await planner.seriousFaults()).toEqual([]);
    await planner.close();
  });
});

describe('instruments', () => {
  it('a new gauge must not be used until its calibration is recorded; withdrawn it must not again', async () => {
    const { page } = admin;
    await admin.open('/instruments', 'Instruments');
    await page.getByRole('link', { name: 'Gauge 2' }).waitFor();
    expect((await column(page, 'Instruments', 'Calibration'))[0]).toBe('out of date');
    expect(await column(page, 'Instruments', 'Calibration')).toContain('due within 60 days');
    expect(await admin.seriousFaults()).toEqual([]);
    await page.getByRole('link', { name: 'Add an instrument' }).click();
    // The list that is left has fields of the same names.
    await page.getByRole('heading', { level: 1, name: 'Add an instrument' }).waitFor();
    await page.getByLabel('Name', { exact: false }).first().fill('Gauge 9');
    await choose(page, /^Kind/, 'Force gauge');
    for (const [label, value] of [[/^Samples a second/, '150'], [/^Accuracy/, '5'], [/^Range from/, '25'], [/^Range to/, '2000'], [/^Spring/, '500'], [/^Contact disc/, '80']] as const) {
      await page.getByLabel(label).fill(value);
    }
    await page.getByRole('button', { name: 'Save' }).click();
    await page.getByRole('heading', { level: 1, name: 'Gauge 9' }).waitFor();
    await page.getByText('It samples at 150 Hz; 200 Hz at least are asked for.').waitFor();
    await page.getByText('No calibration of it is on record.').waitFor();
    await page.getByRole('button', { name: 'Record a calibration' }).first().click();
    const dialog = page.getByRole('dialog');
    await dialog.getByLabel(/^Calibrated on/).fill(isoDay(-20));
    await dialog.getByLabel(/^Due on/).fill(isoDay(345));
    await dialog.getByLabel(/^Laboratory/).fill('Invented laboratory');
    await dialog.getByRole('button', { name: 'Record it' }).click();
    await page.getByText('in date').waitFor();
    expect(await page.getByText('No calibration of it is on record.').count()).toBe(0);
    expect(await page.getByText('must not be used').count()).toBe(1);
    expect(await admin.seriousFaults()).toEqual([]);
    await page.getByRole('button', { name: /^Withdraw/ }).click();
    await dialog.getByLabel(/^Reason/).fill('Of another gauge');
    await dialog.getByRole('button', { name: 'Withdraw it' }).click();
    await page.getByText('never calibrated').waitFor();
    await page.getByText(/Withdrawn .*: Of another gauge/).waitFor();
  });
});

describe('competent persons', () => {
  it('stand with their end, the expired first; one is recorded and revoked', async () => {
    const { page } = admin;
    await admin.open('/competences', 'Competent persons');
    await page.getByText('Licence of the trade, 88-310').waitFor();
    expect((await column(page, 'Competences', 'State'))[0]).toBe('expired');
    await page.getByRole('button', { name: 'Record a competence' }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByLabel(/^Person/).click();
    await page.getByRole('option').first().click();
    await choose(page, /^Competent for/, 'Mechanical work');
    await dialog.getByLabel(/^Evidence/).fill('Course 7');
    await dialog.getByLabel(/^Issued by/).fill('Invented school');
    expect(await admin.seriousFaults()).toEqual([]);
    await dialog.getByRole('button', { name: 'Record it' }).click();
    await page.getByText('Course 7').waitFor();
    await page.getByRole('button', { name: /^Revoke: .*Mechanical work/ }).click();
    await dialog.getByLabel(/^Reason/).fill('Left the company');
    await dialog.getByRole('button', { name: 'Revoke it' }).click();
    await page.getByText(/Left the company/).waitFor();
    expect(await admin.seriousFaults()).toEqual([]);
  });
});

describe('compliance', () => {
  it('has the worst site first, opens to its doors, narrows, and is exported', async () => {
    const { page } = admin;
    const { sites } = await admin.get<{ sites: ComplianceSite[] }>('/compliance');
    expect(sites[0]!.state).toBe('overdue');
    await admin.open('/compliance', 'Compliance');
    const matrix = page.getByRole('table', { name: 'Sites by safety devices' });
    await matrix.waitFor();
    expect(await matrix.locator('tbody > tr').count()).toBe(sites.length);
    expect(await matrix.locator('tbody > tr th').first().innerText()).toContain(sites[0]!.siteName);
    await page.getByRole('button', { name: new RegExp(`^Show \\d+ doors? of ${sites[0]!.siteName}$`) }).click();
    await expect.poll(() => matrix.locator('tbody').first().locator('tr').count()).toBe(1 + sites[0]!.doors);
    expect(await admin.seriousFaults()).toEqual([]);
    await choose(page, 'Overdue', 'Nothing overdue');
    const fine = sites.filter(({ doorsOverdue }) => doorsOverdue === 0).length;
    await expect.poll(() => matrix.locator('tbody > tr').count()).toBe(fine);
    await choose(page, 'Overdue', 'Something overdue');
    await expect.poll(() => matrix.locator('tbody > tr').count()).toBe(sites.length - fine);
    const download = page.waitForEvent('download');
    await page.getByRole('link', { name: 'Export as CSV' }).click();
    const file = await download;
    expect(file.suggestedFilename()).toBe('compliance.csv');
    const lines = (await readFile(await file.path(), 'utf8')).trim().split('\n');
    expect(lines.length).toBeGreaterThan(1);
    expect(lines.slice(1).every((line) => line.endsWith(',overdue'))).toBe(true);
  });

  it('shows an owner its own sites alone, also on a phone', async () => {
    const owner = await Reader.at(browser, lintel, 'owner');
    const own = (await owner.get<{ sites: ComplianceSite[] }>('/compliance')).sites;
    expect(own.length).toBeGreaterThan(0);
    expect(new Set(own.map(({ ownerId }) => ownerId)).size).toBe(1);
    await owner.page.setViewportSize({ width: 390, height: 844 });
    await owner.open('/compliance', 'Compliance');
    const cards = owner.page.getByRole('list', { name: 'Sites by safety devices' });
    await cards.waitFor();
    expect(await cards.getByRole('button', { name: /^Show \d+ doors? of/ }).count()).toBe(own.length);
    // Nothing has to be scrolled sideways.
    expect(await owner.page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth)).toBe(true);
    expect(await owner.seriousFaults()).toEqual([]);
    await owner.close();
  });
});

describe('findings', () => {
  it('a defect is resolved with a word; an unsafe one is not, and says what clears it', async () => {
    const { page } = admin;
    const { items } = await admin.get<{ items: { id: string }[] }>('/doors?state=in-service&limit=2&sort=-name');
    for (const [index, severity] of (['defect', 'unsafe'] as const).entries()) {
      expect(await admin.send('POST', '/findings', { doorId: items[index]!.id, severity, text: `Seen in the test: ${severity}` })).toBe(201);
    }
    await admin.open('/findings', 'Findings');
    await page.getByText(/unsafe findings? (is|are) open/).waitFor();
    expect(await admin.seriousFaults()).toEqual([]);
    await page.getByRole('link', { name: 'Seen in the test: unsafe' }).click();
    await page.getByText(/It cannot be resolved by hand/).waitFor();
    expect(await page.getByRole('button', { name: /put right/ }).count()).toBe(0);
    expect(await admin.seriousFaults()).toEqual([]);
    await admin.open('/findings', 'Findings');
    await page.getByRole('link', { name: 'Seen in the test: defect' }).click();
    await page.getByRole('button', { name: /put right…/ }).click();
    await page.getByRole('dialog').getByLabel(/How it was put right/).fill('Screw tightened');
    await page.getByRole('dialog').getByRole('button', { name: 'Close the finding' }).click();
    await page.getByText(/Screw tightened/).first().waitFor();
    await page.getByText('put right', { exact: true }).first().waitFor();
  });
});
