import type { Browser } from 'playwright-core';
import { readFileSync } from 'node:fs';
import type { Door, LedgerAnchors, LedgerState, LogBook } from '@lintel/contract';
import { expect, it } from 'vitest';
import { pdfPages } from '../support/pdf.js';
import { inHouse } from './signedIn.js';
import { choose, Reader, type Lintel } from './support.js';

let lintel: Lintel;
let browser: Browser;
inHouse((given) => ({ lintel, browser } = given));

/** Kept where somebody wants to look at the pages. */
async function picture({ page }: Reader, name: string): Promise<void> {
  const folder = process.env['LINTEL_PICTURES'];
  if (!folder) return;
  for (const [size, width, height] of [['desktop', 1440, 900], ['tablet', 1024, 768], ['phone', 390, 844]] as const) {
    await page.setViewportSize({ width, height });
    await page.waitForTimeout(400);
    await page.screenshot({ path: `${folder}/${name}-${size}.png` });
  }
  await page.setViewportSize({ width: 1440, height: 900 });
}

it('the ledger says when its chain was last checked, is checked on demand, and gives its anchor', async () => {
  const admin = await Reader.at(browser, lintel, 'admin');
  const { page } = admin;
  await admin.open('/ledger', 'Ledger');
  const band = page.getByRole('region', { name: 'Chain of entries' });
  await band.getByText(/The last is entry \d+/).waitFor();
  const before = await admin.get<LedgerState>('/ledger/chain');
  await band.getByRole('button', { name: 'Check now' }).click();
  await expect.poll(async () => (await admin.get<LedgerState>('/ledger/chain')).check?.at, { timeout: 60_000, interval: 500 }).not.toBe(before.check?.at);
  await band.getByText('All entries are in order.').waitFor();
  const [file] = await Promise.all([page.waitForEvent('download'), band.getByRole('button', { name: 'Export anchor' }).click()]);
  const { anchors } = JSON.parse(readFileSync(await file.path(), 'utf8')) as LedgerAnchors;
  expect(anchors).toEqual([(await admin.get<LedgerState>('/ledger/chain')).head]);
  expect(await admin.seriousFaults()).toEqual([]);
  await picture(admin, 'ledger');
  await admin.close();
});

it('an owner reaches the log book of its door by keyboard, narrows it, and takes it along', async () => {
  const owner = await Reader.at(browser, lintel, 'owner');
  const { page } = owner;
  const { items } = await owner.get<{ items: Door[] }>('/doors?limit=1&sort=name');
  const door = items[0]!;
  await owner.open(`/doors/${door.id}/show`, `Door ${door.name}`);
  const link = page.getByRole('region', { name: 'History' }).getByRole('link', { name: 'Log book' });
  await link.focus();
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { level: 1, name: `Log book of door ${door.name}` }).waitFor();
  const book = await owner.get<LogBook>(`/doors/${door.id}/log-book`);
  const table = page.getByRole('table', { name: 'Entries of the log book' });
  expect(await table.locator('tbody tr').count()).toBe(book.entries.length);
  expect(await owner.seriousFaults()).toEqual([]);
  await picture(owner, 'log-book');
  await choose(page, 'Show', 'Installation');
  await expect.poll(() => table.locator('tbody tr').count()).toBe(1);
  const [file] = await Promise.all([page.waitForEvent('download'), page.getByRole('link', { name: 'Print (PDF)' }).click()]);
  const pages = await pdfPages(readFileSync(await file.path()));
  for (const text of pages) expect(text).toContain(`Log book of door ${door.name}`);
  await owner.close();
});
