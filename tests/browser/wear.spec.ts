import type { Door, DoorRenewals, FittedPart, HandbookLives, WearAnalysis, WearModel } from '@lintel/contract';
import type { Browser, Page } from 'playwright-core';
import { readFile } from 'node:fs/promises';
import { afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { inHouse } from './signedIn.js';
import { column, Reader, type Lintel } from './support.js';

interface List<T> {
  items: T[];
}

let lintel: Lintel;
let browser: Browser;
let planner: Reader;
let model: WearModel;

inHouse((given) => ({ lintel, browser } = given));
beforeAll(async () => {
  const reader = await Reader.at(browser, lintel, 'planner');
  // The worker learns after the first projection, and projects with what it learned.
  model = await until(async () => {
    const [best] = (await reader.get<List<WearModel>>('/wear-models?inUse=true&kind=drive-chain&sort=-failures&limit=1')).items;
    return best && (await atRisk(reader, best)).length > 0 ? best : null;
  });
  await reader.close();
});
beforeEach(async () => {
  planner = await Reader.at(browser, lintel, 'planner');
});
afterEach(async () => {
  await planner.close();
});

const atRisk = async (reader: Reader, { id, positionId }: WearModel) =>
  (await reader.get<List<FittedPart>>(`/fitted-parts?positionId=${positionId}&wearModelId=${id}&fitted=true&sort=-chance90&limit=10`)).items;

/** Asks until there is an answer. */
async function until<T>(ask: () => Promise<T | null>): Promise<T> {
  for (let tries = 0; tries < 240; tries++) {
    const answer = await ask();
    if (answer !== null) return answer;
    await new Promise((resolve) => setTimeout(resolve, 500));
  }
  throw new Error('it did not come about');
}

async function saved(page: Page, name: RegExp): Promise<Buffer> {
  const download = page.waitForEvent('download');
  await page.getByRole('button', { name }).click();
  return readFile(await (await download).path());
}

const plot = (page: Page) => page.getByRole('img', { name: /^Probability plot on Weibull paper/ });
const openModel = (reader: Reader, { id, positionName }: WearModel) => reader.open(`/wear-models/${id}/show`, new RegExp(`^${positionName}`));

describe('the wear models', () => {
  it('are listed with their failures and whose they are, the best known first', async () => {
    const { items } = await planner.get<List<WearModel>>('/wear-models?inUse=true&sort=-failures&limit=50');
    await planner.open('/wear-models', 'Wear models');
    await planner.page.getByRole('table', { name: 'Wear models' }).waitFor();
    expect(await column(planner.page, 'Wear models', 'Failures')).toEqual(items.map(({ failures }) => String(failures)));
    expect(await planner.page.getByRole('button', { name: 'Fit anew' }).count(), 'a planner reads').toBe(0);
    expect(await planner.seriousFaults()).toEqual([]);
  });

  it('are drawn on Weibull paper with every failure, and can be taken away as drawing, picture and figures', async () => {
    const analysis = await planner.get<WearAnalysis>(`/wear-models/${model.id}/analysis`);
    await openModel(planner, model);
    const { page } = planner;
    const failures = plot(page).locator('[data-part="failure"]');
    await failures.first().waitFor();
    expect(await failures.count()).toBe(analysis.plot.failures.length);
    const rows = (await saved(page, /^Save as CSV: life-plot/)).toString().trim().split('\n');
    expect(rows[0]).toBe('what,age,share,low,high');
    expect(rows.filter((row) => row.startsWith('failure,'))).toHaveLength(analysis.plot.failures.length);
    expect((await saved(page, /^Save as SVG: life-plot/)).toString()).toMatch(/^<svg [^>]*xmlns="http:\/\/www.w3.org\/2000\/svg"/);
    expect((await saved(page, /^Save as PNG: life-plot/)).subarray(1, 4).toString()).toBe('PNG');
    for (const name of [/^Share of parts that live beyond an age/, /^(Costs least replaced|Run it to failure)/]) await page.getByRole('img', { name }).waitFor();
    expect(await planner.seriousFaults()).toEqual([]);
  });

  it('name the parts most at risk now, the likeliest to fail first', async () => {
    const parts = await atRisk(planner, model);
    await openModel(planner, model);
    await planner.page.getByRole('table', { name: 'Parts most at risk' }).waitFor();
    expect(await column(planner.page, 'Parts most at risk', 'Door')).toEqual(parts.map(({ doorName }) => doorName));
    expect(await planner.page.getByRole('button', { name: /^Fix: version/ }).count(), 'only an administrator fixes').toBe(0);
  });

  it('fit a phone', async () => {
    await planner.page.setViewportSize({ width: 390, height: 844 });
    for (const open of [() => planner.open('/wear-models', 'Wear models'), () => openModel(planner, model)]) {
      await open();
      await planner.page.getByRole('list').first().waitFor();
      expect(await planner.page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)).toBeLessThanOrEqual(0);
    }
  });
});

describe('a failure', () => {
  it('makes a new version, which an administrator compares, and fixes the old one until it is released', async () => {
    const admin = await Reader.at(browser, lintel, 'admin');
    const [part] = await atRisk(admin, model);
    expect(await admin.send('POST', `/fitted-parts/${part!.id}/remove`, { at: new Date().toISOString(), reason: 'failed' })).toBe(200);
    expect(await admin.send('POST', '/wear-models/refit', { kind: 'drive-chain' })).toBe(202);
    const newer = await until(async () => {
      const [found] = (await admin.get<List<WearModel>>(`/wear-models?positionId=${model.positionId}&climate=${model.climate}&inUse=true`)).items;
      return found && found.number === model.number + 1 ? found : null;
    });
    expect(newer.failures).toBe(model.failures + 1);

    await openModel(admin, newer);
    const { page } = admin;
    await page.getByRole('button', { name: `Compare: version ${model.number}` }).click();
    await page.getByText(`version ${model.number}`, { exact: true }).waitFor();
    await page.getByRole('button', { name: `Fix: version ${model.number}` }).click();
    await page.getByRole('button', { name: 'Fix it' }).click();
    expect(await page.getByRole('dialog').innerText()).toContain('Required');
    await page.getByLabel('Why').fill('The last batch was a bad one');
    await page.getByRole('button', { name: 'Fix it' }).click();
    await page.getByText('fixed, in use').waitFor();
    expect(await column(page, 'Versions of the model', 'Use')).toEqual(['not in use', 'fixed, in use']);
    expect(await admin.get<WearModel>(`/wear-models/${model.id}`)).toMatchObject({ fixed: true, inUse: true, fixedNote: 'The last batch was a bad one' });

    await page.getByRole('button', { name: `Release: version ${model.number}` }).click();
    await page.getByLabel('Why').fill('It is used up');
    await page.getByRole('button', { name: 'Release it' }).click();
    await page.getByText('fixed, in use').waitFor({ state: 'detached' });
    expect(await column(page, 'Versions of the model', 'Use')).toEqual(['in use', 'not in use']);
    await admin.close();
  });
});

describe("a door's renewals", () => {
  it('say of each part in money whether to replace it now, and why', async () => {
    const [, part] = (await planner.get<List<FittedPart>>('/fitted-parts?fitted=true&sort=-chance90&limit=2')).items;
    const { items } = await planner.get<DoorRenewals>(`/doors/${part!.doorId}/renewals`);
    expect(items.length, 'the demo has costs').toBeGreaterThan(0);
    await planner.open(`/doors/${part!.doorId}/show`, /^Door /);
    const panel = planner.page.getByRole('region', { name: 'Renewal', exact: true });
    await panel.getByText(/Replace it now|Leave it/).first().waitFor();
    const said = await column(planner.page, 'Renewal of the door’s parts', 'While at the door');
    const count = (word: RegExp) => said.filter((text) => word.test(text)).length;
    const decided = (decision: string) => items.filter(({ visit }) => visit.decision === decision).length;
    expect([count(/^▲ Replace it now/), count(/^● Leave it/)]).toEqual([decided('replace'), decided('leave')]);
    for (const text of said.filter((one) => /^[▲●]/.test(one))) expect(text).toMatch(/hance of failing .* of risk/);
  });

  it('are not the facility owner’s to see, nor is what was learned', async () => {
    const owner = await Reader.at(browser, lintel, 'owner');
    const [door] = (await owner.get<List<{ id: string; name: string }>>('/doors?limit=1')).items;
    await owner.open(`/doors/${door!.id}/show`, `Door ${door!.name}`);
    await owner.page.getByRole('region', { name: 'Positions', exact: true }).waitFor();
    expect(await owner.page.getByRole('region', { name: 'Renewal', exact: true }).count()).toBe(0);
    expect(await owner.page.getByRole('link', { name: 'Wear models' }).count()).toBe(0);
    await expect(owner.get('/wear-models')).rejects.toThrow(/403/);
    await owner.close();
  });
});

describe('a door’s chain', () => {
  it('is measured at its page: a length that cannot be is refused by its field, the next one moves the line', async () => {
    const { items } = await planner.get<List<Door>>('/doors?state=in-service&limit=100');
    let door: Door | undefined;
    let chain: HandbookLives['chains'][number] | undefined;
    for (const one of items) {
      [chain] = (await planner.get<HandbookLives>(`/doors/${one.id}/handbook-lives`)).chains;
      if (chain?.line && !chain.atLimit) {
        door = one;
        break;
      }
    }
    if (!door || !chain) throw new Error('the demo holds measured chains');
    await planner.open(`/doors/${door.id}/show`, `Door ${door.name}`);
    const { page } = planner;
    const panel = page.getByRole('region', { name: `Chain elongation: ${chain.positionName}` });
    await panel.getByRole('img', { name: /meets .* at about/ }).waitFor();
    const before = chain.measurements.length;
    expect(await column(page, 'Measurements of the chain', 'Elongation')).toHaveLength(before);
    await panel.getByRole('button', { name: 'Record a measurement' }).click();
    const dialog = page.getByRole('dialog', { name: /^Record a measurement/ });
    expect(await dialog.getByLabel('Nominal pitch, mm').inputValue()).toBe('15.875');
    await dialog.getByLabel('Pitches measured over').fill('20');
    await dialog.getByLabel('Length over them, mm').fill('420');
    await dialog.getByRole('button', { name: 'Record the measurement' }).click();
    // 420 / (20 × 15.875) − 1 = 32.3 %.
    await dialog.getByText(/gives an elongation of 32\.3 %/).first().waitFor();
    expect(await planner.seriousFaults()).toEqual([]);
    // 328.6 / 317.5 − 1 = 3.5 %, past the limit.
    await dialog.getByLabel('Length over them, mm').fill('328.6');
    await dialog.getByRole('button', { name: 'Record the measurement' }).click();
    await dialog.waitFor({ state: 'detached' });
    await panel.getByText(/^At its limit: measured 3\.5 %/).first().waitFor();
    expect((await column(page, 'Measurements of the chain', 'Elongation'))[0]).toBe('3.50 %');
    await page.getByRole('region', { name: 'Bearing life' }).getByText(/invented for the demo/).waitFor();
  });

  it('shows on the drawing when it ends, and tells its chances when chosen', async () => {
    const [part] = (await planner.get<List<FittedPart>>('/fitted-parts?kind=drive-chain&fitted=true&sort=-chance90&limit=1')).items;
    await planner.open(`/doors/${part!.doorId}/show`, new RegExp(`^Door ${part!.doorName}`));
    const { page } = planner;
    const mark = page.locator(`[data-position="${part!.positionId}"]`);
    await mark.locator('[data-part="life"]').waitFor();
    await mark.focus();
    await page.keyboard.press('Enter');
    const drawing = page.getByRole('region', { name: 'Front elevation' });
    await drawing.getByRole('img', { name: /^Likely end: early/ }).waitFor();
    await drawing.getByText(/[Cc]hance that it ends .*%/).waitFor();
    for (const width of [1440, 1024, 390]) {
      await page.setViewportSize({ width, height: 844 });
      // Charts learn of their new room by an observer: a moment later.
      await expect.poll(() => page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth), { message: `at ${width}` }).toBeLessThanOrEqual(0);
    }
    expect(await planner.seriousFaults()).toEqual([]);
  });
});
