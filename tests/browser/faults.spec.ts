import { readFile } from 'node:fs/promises';
import type { Browser } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import type { Door, Fault, FaultCode, FaultSummary, FaultTrends } from '@lintel/contract';
import { signedIn } from './signedIn.js';
import { choose, column, Reader, type Lintel } from './support.js';

interface List<T> {
  items: T[];
  total: number | null;
}

let lintel: Lintel;
let browser: Browser;
let planner: Reader;

signedIn('planner', (given) => {
  ({ lintel, browser, reader: planner } = given);
});

const yearAgo = (): string => new Date(Date.parse(`${new Date().toISOString().slice(0, 10)}T00:00:00Z`) - 365 * 86_400_000).toISOString();

async function saved(press: () => Promise<void>): Promise<{ name: string; text: string; bytes: Buffer }> {
  const [download] = await Promise.all([planner.page.waitForEvent('download'), press()]);
  const bytes = await readFile(await download.path());
  return { name: download.suggestedFilename(), text: bytes.toString('utf8'), bytes };
}

describe('Faults', () => {
  it('sums up as the server does, and names the doors that are getting worse first', async () => {
    const summary = await planner.get<FaultSummary>(`/faults/summary?atFrom=${yearAgo()}`);
    const trends = await planner.get<FaultTrends>('/faults/trends');
    expect(trends.doors[0]?.trend.verdict, 'the demo holds a door that is getting worse').toBe('worse');
    await planner.open('/faults', 'Faults');
    const { page } = planner;
    await page.getByText(`${summary.doorsWithFaults} of ${summary.doors}`).waitFor();
    await page.getByRole('table', { name: 'Doors getting worse' }).waitFor();
    const ways = await column(page, 'Doors getting worse', 'Which way');
    expect(ways).toEqual(trends.doors.slice(0, ways.length).map(({ trend }) => trend.verdict === 'worse' ? 'getting worse' : trend.verdict === 'steady' ? 'steady' : trend.verdict === 'better' ? 'getting better' : 'too little to say'));
    expect(await column(page, 'Doors getting worse', 'Door')).toEqual(trends.doors.slice(0, ways.length).map(({ doorName }) => doorName));
    const repeats = await page.getByRole('region', { name: 'Back after a repair' }).getByRole('listitem').allInnerTexts();
    expect(repeats).toHaveLength(summary.repeats.lines.length);
    expect(repeats[0]).toContain(summary.repeats.lines[0]?.code);
  });

  it('draws what comes most, by code, site and door, to be taken away as drawing, picture and figures', async () => {
    const summary = await planner.get<FaultSummary>(`/faults/summary?atFrom=${yearAgo()}`);
    await planner.open('/faults', 'Faults');
    const panel = planner.page.getByRole('region', { name: 'What comes most' });
    const [first] = summary.byCode;
    await panel.getByRole('img', { name: `most often ${first?.code} ${first?.codeName}, ${first?.count}` }).waitFor();
    const figures = await saved(() => panel.getByRole('button', { name: /^Save as CSV/ }).click());
    expect(figures.name).toBe('faults-by-code.csv');
    const [head, ...lines] = figures.text.trim().split('\n');
    expect(head).toBe('label,count,share,cumulativeShare,per1000Cycles');
    expect(lines.map((line) => Number(line.split(',').at(-4)))).toEqual(summary.byCode.slice(0, 12).map(({ count }) => count));
    const drawing = await saved(() => panel.getByRole('button', { name: /^Save as SVG/ }).click());
    expect(drawing.text).toMatch(/^<svg [^>]*xmlns="http:\/\/www\.w3\.org\/2000\/svg"/);
    expect(drawing.text).toContain(first?.code);
    const picture = await saved(() => panel.getByRole('button', { name: /^Save as PNG/ }).click());
    expect([...picture.bytes.subarray(0, 8)]).toEqual([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
    await choose(planner.page, 'Grouped', 'by site');
    const [site] = summary.bySite;
    await panel.getByRole('img', { name: `most often ${site?.siteName}, ${site?.count}` }).waitFor();
  });

  it('narrows summary and list by kind', async () => {
    const heating = await planner.get<FaultSummary>(`/faults/summary?atFrom=${yearAgo()}&kind=heating`);
    await planner.open('/faults', 'Faults');
    const { page } = planner;
    await page.getByRole('table', { name: 'Faults' }).waitFor();
    await choose(page, 'Kind', 'Heating');
    await page.getByText(`${heating.doorsWithFaults} of ${heating.doors}`).waitFor();
    await page.waitForFunction(() => {
      const kinds = [...document.querySelectorAll('table[aria-label="Faults"] tbody tr > td:nth-child(5)')].map((cell) => cell.textContent);
      return kinds.length > 0 && kinds.every((kind) => kind === 'Heating');
    });
    expect(new Set(await column(page, 'Faults', 'Kind'))).toEqual(new Set(['Heating']));
  });

  it('shows a door over its counter with its verdict in a sentence, and records a fault there', async () => {
    const trends = await planner.get<FaultTrends>('/faults/trends');
    const { doorId, doorName, trend } = trends.doors[0]!;
    const count = async (): Promise<number> => (await planner.get<List<Fault>>(`/faults?doorId=${doorId}&count=true&limit=1`)).total!;
    const before = await count();
    await planner.open(`/doors/${doorId}/show`, `Door ${doorName}`);
    const panel = planner.page.getByRole('region', { name: 'Faults', exact: true });
    await panel.getByText(`Getting worse: ${trend.events} faults since`).waitFor();
    await panel.getByRole('img', { name: `${before} faults over lifetime cycles: getting worse.` }).waitFor();
    await panel.getByRole('button', { name: 'Record a fault' }).click();
    const dialog = planner.page.getByRole('dialog', { name: `Record a fault of door ${doorName}` });
    await dialog.getByRole('combobox', { name: 'Fault code' }).fill('E31');
    await planner.page.getByRole('option', { name: /^E31 / }).click();
    await dialog.getByLabel('Note').fill('Ice on the lens');
    expect(await planner.seriousFaults()).toEqual([]);
    await dialog.getByRole('button', { name: 'Record the fault' }).click();
    await dialog.waitFor({ state: 'detached' });
    expect(await count()).toBe(before + 1);
    const [latest] = (await planner.get<List<Fault>>(`/faults?doorId=${doorId}&limit=1`)).items;
    expect(latest).toMatchObject({ code: 'E31', source: 'form', note: 'Ice on the lens', accountName: expect.any(String) });
    await panel.getByRole('img', { name: `${before + 1} faults over lifetime cycles` }).waitFor();
  });

  it('takes a fault file in and names the lines that it cannot use; the same file twice changes nothing', async () => {
    const [door] = (await planner.get<List<Door>>('/doors?limit=1&state=in-service')).items;
    if (!door) throw new Error('the demo holds doors in service');
    const count = async () => (await planner.get<List<Fault>>(`/faults?count=true&limit=1&doorId=${door.id}`)).total ?? 0;
    const before = await count();
    const lines = [
      'site,door,at,code,note',
      `${door.siteName},${door.name},${new Date(Date.now() - 3_600_000).toISOString()},E31,from a file`,
      `${door.siteName},${door.name},${new Date(Date.now() - 7_200_000).toISOString()},NONE,`,
      `${door.siteName},no such door,${new Date(Date.now() - 7_200_000).toISOString()},E31,`,
      `${door.siteName},${door.name},yesterday,E31,`,
    ];
    const file = { name: 'faults.csv', mimeType: 'text/csv', buffer: Buffer.from(`${lines.join('\n')}\n`) };
    const { page } = planner;
    for (const turn of [1, 2]) {
      await planner.open('/imports/create', 'Bring a file in');
      await choose(page, /holds/, 'Faults');
      await page.getByLabel('CSV file').setInputFiles(file);
      await page.getByRole('button', { name: 'Upload' }).click();
      await page.getByRole('heading', { level: 1, name: 'faults.csv' }).waitFor();
      await page.getByRole('button', { name: 'Read the file in' }).click();
      await page.getByRole('table', { name: 'Refused lines' }).waitFor({ timeout: 90_000 });
      expect(await column(page, 'Refused lines', 'Line')).toEqual(['3', '4', '5']);
      expect(await column(page, 'Refused lines', 'Field')).toEqual(['Code', 'Door’s name', 'When']);
      expect((await column(page, 'Refused lines', 'Why'))[0]).toContain('NONE');
      expect(await page.getByRole('region', { name: 'Report' }).innerText()).toMatch(turn === 1 ? /4\s+lines read\s+1\s+taken/ : /4\s+lines read\s+0\s+taken/);
      expect(await count()).toBe(before + 1);
    }
    const [latest] = (await planner.get<List<Fault>>(`/faults?doorId=${door.id}&limit=1`)).items;
    expect(latest).toMatchObject({ code: 'E31', source: 'file', note: 'from a file' });
  });

  it('keeps the catalogue: a new code, another name for it, and a code that is there already', async () => {
    await planner.open('/fault-codes/create', 'Add a fault code');
    const { page } = planner;
    await page.getByLabel('Code').fill('E99');
    await page.getByLabel('What it means').fill('Test of the catalogue');
    await choose(page, /^Kind/, 'Communication');
    await page.getByRole('button', { name: 'Save' }).click();
    await page.getByRole('heading', { level: 1, name: 'Fault catalogue' }).waitFor();
    await page.getByRole('link', { name: 'E99' }).click();
    await page.getByLabel('What it means').fill('Another name');
    await page.getByRole('button', { name: 'Save' }).click();
    await page.getByRole('heading', { level: 1, name: 'Fault catalogue' }).waitFor();
    const [code] = (await planner.get<List<FaultCode>>('/fault-codes?q=E99')).items;
    expect(code).toMatchObject({ code: 'E99', name: 'Another name', kind: 'communication', version: 2 });
    await planner.open('/fault-codes/create', 'Add a fault code');
    await page.getByLabel('Code').fill('e99');
    await page.getByLabel('What it means').fill('The same again');
    await choose(page, /^Kind/, 'Drive');
    await page.getByRole('button', { name: 'Save' }).click();
    await page.getByText('the catalogue has this code already').first().waitFor();
    expect(await page.getByRole('heading', { level: 1 }).innerText()).toBe('Add a fault code');
  });

  it.each([['/faults', 'Faults'], ['/fault-codes', 'Fault catalogue']])('%s has nothing serious for axe-core, on a desk and on a phone', async (path, heading) => {
    await planner.open(path, heading);
    await planner.page.waitForLoadState('networkidle');
    expect(await planner.seriousFaults()).toEqual([]);
    await planner.page.setViewportSize({ width: 390, height: 844 });
    expect(await planner.seriousFaults()).toEqual([]);
  });
});

describe('a facility owner', () => {
  it('sees the faults of its own doors and records none', async () => {
    const owner = await Reader.at(browser, lintel, 'owner');
    const all = await planner.get<FaultSummary>('/faults/summary');
    const own = await owner.get<FaultSummary>('/faults/summary');
    expect(own.doors).toBeLessThan(all.doors);
    await owner.open('/faults', 'Faults');
    await owner.page.getByText(`of ${own.doors}`).first().waitFor();
    expect(await owner.page.getByRole('button', { name: 'Record a fault' }).count()).toBe(0);
    await owner.close();
  });
});
