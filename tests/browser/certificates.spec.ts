import { readFile } from 'node:fs/promises';
import type { Certificate, Page as ListPage, WholeCertificate } from '@lintel/contract';
import { checkCertificate } from '@lintel/store';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Lintel, openBrowser, Reader } from './support.js';

let lintel: Lintel;
let browser: Browser;
let admin: Reader;
let owner: Reader;
/** The newest of an owner with forces measured, and an older one of a door that has two. */
let valid: Certificate;
let superseded: Certificate;

const sizes = [['desk', 1440, 900], ['tablet', 1024, 768], ['phone', 390, 844]] as const;
/** `LINTEL_KEEP_PICTURES` names a folder in which pictures are left, to be looked at. */
async function pictures(reader: Reader, name: string): Promise<void> {
  const folder = process.env['LINTEL_KEEP_PICTURES'];
  for (const [size, width, height] of folder ? sizes : []) {
    await reader.page.setViewportSize({ width, height });
    await reader.page.waitForTimeout(400);
    await reader.page.screenshot({ path: `${folder}/${name}-${size}.png`, fullPage: true });
  }
  if (folder) await reader.page.setViewportSize({ width: 1440, height: 900 });
}

beforeAll(async () => {
  [lintel, browser] = await Promise.all([Lintel.start(), openBrowser()]);
  [admin, owner] = await Promise.all([Reader.at(browser, lintel, 'admin'), Reader.at(browser, lintel, 'owner')]);
  for (const one of (await owner.get<ListPage<Certificate>>('/certificates?state=valid&passed=true&sort=-issuedAt&limit=100')).items) {
    if ((await owner.get<WholeCertificate>(`/certificates/${one.id}`)).sealed.content.forceTests.length === 0) continue;
    valid = one;
    break;
  }
  superseded = (await admin.get<ListPage<Certificate>>('/certificates?state=superseded')).items[0]!;
}, 400_000);
afterAll(async () => {
  await Promise.all([admin?.close(), owner?.close()]);
  await browser?.close();
  await lintel?.stop();
});

describe('certificates', () => {
  it('are listed, found by state, and lead to what they say', async () => {
    await admin.open('/certificates', 'Certificates');
    const { page } = admin;
    await page.getByRole('table', { name: 'Certificates' }).waitFor();
    await pictures(admin, 'list');
    expect(await admin.seriousFaults()).toEqual([]);
    await page.getByRole('combobox', { name: 'State' }).click();
    await page.getByRole('option', { name: 'Superseded' }).click();
    await page.getByRole('table', { name: 'Certificates' }).getByText('superseded').first().waitFor();
    await page.getByRole('table', { name: 'Certificates' }).getByRole('link').first().click();
    await page.getByRole('heading', { level: 1, name: 'Certificate of safety inspection' }).waitFor();
    await page.getByText('a newer one of this door stands in its place').waitFor();
  });

  it('say everything on their page, without anything serious for axe-core, on a desk and on a phone', async () => {
    await admin.open(`/certificates/${valid.id}/show`, 'Certificate of safety inspection');
    const { page } = admin;
    for (const words of ['Safety devices and other checks', 'Closing force', 'Cautions', 'Seal']) await page.getByRole('heading', { name: words }).first().waitFor();
    await page.getByText(valid.number).first().waitFor();
    await pictures(admin, 'page');
    expect(await admin.seriousFaults()).toEqual([]);
    await page.setViewportSize({ width: 390, height: 844 });
    expect(await admin.seriousFaults()).toEqual([]);
    await page.setViewportSize({ width: 1440, height: 900 });
  });

  it('are taken home by their owner, as paper and as a file that verifies', async () => {
    await owner.open(`/certificates/${valid.id}/show`, 'Certificate of safety inspection');
    const [json] = await Promise.all([owner.page.waitForEvent('download'), owner.page.getByRole('link', { name: 'Download JSON' }).click()]);
    expect(checkCertificate(await readFile(await json.path(), 'utf8'))).toMatchObject({ faults: [], certificate: { content: { number: valid.number } } });
    const [pdf] = await Promise.all([owner.page.waitForEvent('download'), owner.page.getByRole('link', { name: 'Download PDF' }).click()]);
    expect(pdf.suggestedFilename()).toBe(`certificate-${valid.number}.pdf`);
    expect((await readFile(await pdf.path())).subarray(0, 5).toString()).toBe('%PDF-');
    expect(await owner.page.getByRole('button', { name: 'Withdraw' }).count()).toBe(0);
  });

  it('stand on the page of their door', async () => {
    await owner.open(`/doors/${valid.doorId}/show`, `Door ${valid.doorName}`);
    const lines = owner.page.getByRole('region', { name: 'Certificates', exact: true }).getByRole('table').getByRole('link');
    await lines.first().waitFor();
    expect(await lines.count()).toBeGreaterThan(0);
  });

  it('show their keys; the public page answers without signing in', async () => {
    await admin.open('/certificate-keys', 'Certificate keys');
    await admin.page.getByText('signs now').waitFor();
    await pictures(admin, 'keys');
    expect(await admin.seriousFaults()).toEqual([]);
    const stranger = await Reader.at(browser, lintel, null);
    await stranger.page.goto(`${lintel.base}/certificates/${valid.number}`);
    await stranger.page.getByRole('heading', { level: 1, name: 'Certificate of safety inspection' }).waitFor();
    await stranger.page.getByText('Valid', { exact: true }).waitFor();
    await pictures(stranger, 'public');
    expect(await stranger.seriousFaults()).toEqual([]);
    await stranger.page.goto(`${lintel.base}/certificates/${superseded.number}`);
    await stranger.page.getByText('Superseded', { exact: true }).waitFor();
    await stranger.page.goto(`${lintel.base}/certificates/20261125-0000-0000-0000-0000`);
    await stranger.page.getByText('Unknown', { exact: true }).waitFor();
    await pictures(stranger, 'unknown');
    expect(await stranger.seriousFaults()).toEqual([]);
    await stranger.close();
  });

  it('are withdrawn by an administrator, with a reason', async () => {
    await admin.open(`/certificates/${valid.id}/show`, 'Certificate of safety inspection');
    const { page } = admin;
    await page.getByRole('button', { name: 'Withdraw' }).click();
    await page.getByRole('textbox', { name: 'Why' }).fill('Gauge found out of true');
    await page.getByRole('button', { name: 'Withdraw it' }).click();
    await page.getByText('it proves nothing any more').waitFor();
    await pictures(admin, 'withdrawn');
    expect(await page.getByText('Gauge found out of true').count()).toBeGreaterThan(0);
    const told = await fetch(`${lintel.base}/certificates/${valid.number}`, { headers: { accept: 'application/json' } });
    expect(await told.json()).toMatchObject({ state: 'withdrawn' });
  });
});
