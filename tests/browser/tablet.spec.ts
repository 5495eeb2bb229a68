import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Door, FittedPart, Position, WholeWorkOrder } from '@lintel/contract';
import { FrameWork, middle, type Shown, shownWords } from './frameWork.js';
import { heading, inStep, pageFaults, smallTargets, sync, TabletWorld, todayAt } from './tabletWorld.js';

interface List<T> {
  items: T[];
}

/** Steps that one tap answers. */
const oneTap: readonly string[] = ['confirm', 'test-device'];

let world: TabletWorld;
let page: Page;

beforeAll(async () => {
  world = await TabletWorld.start();
});
afterAll(() => world?.stop());

/** With a chain that may be changed. */
const releasedInspection = (door: Door): Promise<WholeWorkOrder> =>
  world.released(door, { kind: 'inspection', title: 'Yearly inspection', parts: ['drive-chain'], minutes: 60 });

async function addGauge(): Promise<void> {
  const { id } = await world.post<{ id: string }>('/instruments', {
    kind: 'force-gauge', name: 'Test gauge', serial: 'TG-1', samplingHertz: 1000, accuracyPercent: 1, rangeFromNewton: 10, rangeToNewton: 2500, springNewtonPerMm: 500, discMm: 80,
  });
  const today = todayAt('UTC');
  await world.post('/calibrations', { instrumentId: id, calibratedOn: today, dueOn: `${Number(today.slice(0, 4)) + 1}${today.slice(4, 8)}01`, laboratory: 'A laboratory', certificateNumber: 'C-1' });
}

/** A picture as a camera gives it, large and of no meaning: made by the browser itself. */
async function photograph(width: number, height: number): Promise<Buffer> {
  const bytes = await page.evaluate(async ([wide, high]) => {
    const canvas = new OffscreenCanvas(wide!, high!);
    const drawing = canvas.getContext('2d')!;
    for (let at = 0; at < 400; at++) {
      drawing.fillStyle = `hsl(${at * 37} 60% 50%)`;
      drawing.fillRect((at * 997) % wide!, (at * 613) % high!, wide! / 5, high! / 7);
    }
    const blob = await canvas.convertToBlob({ type: 'image/jpeg', quality: 0.9 });
    return [...new Uint8Array(await blob.arrayBuffer())];
  }, [width, height]);
  return Buffer.from(bytes);
}

/** A closing that stays within the limits: 300 N for 300 ms, then 60 N, then nothing; 1 kHz. */
function forceFile(): string {
  const newton = (ms: number): number => (ms < 20 ? 0 : ms < 320 ? 300 : ms < 2000 ? 60 : 0);
  return `ms,newton\n${Array.from({ length: 3000 }, (_none, at) => `${at * 2},${newton(at * 2)}`).join('\n')}\n`;
}

/** Answers the step in front; `true` until the review is reached. */
async function answerStep(order: WholeWorkOrder, counterValue: number): Promise<boolean> {
  const title = await page.locator('h1').innerText();
  const at = /^Step (\d+) of/.exec(title)?.[1];
  if (at === undefined) return false;
  const step = order.steps[Number(at) - 1]!;
  const keep = page.getByRole('button', { name: /^Keep it/ });
  switch (step.kind) {
    case 'confirm':
      await page.getByRole('button', { name: step.caution ? 'Done: confirmed' : 'Yes', exact: true }).click();
      break;
    case 'test-device':
      await page.getByRole('button', { name: 'Works', exact: true }).click();
      break;
    case 'read-counter':
      await page.getByLabel(step.text).fill(String(counterValue));
      await keep.click();
      break;
    case 'photograph':
      await page.getByLabel('Take a photograph').setInputFiles({ name: 'door.jpg', mimeType: 'image/jpeg', buffer: await photograph(8000, 6000) });
      await page.getByRole('img', { name: 'Photograph 1' }).waitFor();
      await page.getByRole('button', { name: /^Keep 1 photograph/ }).click();
      break;
    case 'fit-part':
      await page.getByRole('button', { name: 'Worn out' }).click();
      await page.getByRole('textbox', { name: 'Serial of the new part' }).fill('CH-NEW-1');
      await keep.click();
      break;
    case 'force-test':
      await measureForces();
      break;
    default:
      throw new Error(`the test has no answer for ${step.kind}`);
  }
  await page.waitForFunction((before) => document.querySelector('h1')?.textContent !== before, title);
  return true;
}

async function measureForces(): Promise<void> {
  await page.getByRole('button', { name: /Test gauge/ }).click();
  await page.getByText('27 readings of 27 still to take.').waitFor();
  await page.getByLabel('File of the gauge, ms and newton').setInputFiles({ name: 'gauge.csv', mimeType: 'text/csv', buffer: Buffer.from(forceFile()) });
  await page.getByRole('img', { name: /Force curve: greatest force 300 N of 400 N allowed/ }).waitFor();
  for (let left = 26; left > 0; left--) {
    await page.getByText(new RegExp(`^${left} readings? of 27 still to take`)).waitFor();
    for (const [name, value] of [['Peak force, N', '300'], ['Dynamic time, ms', '300'], ['Static force, N', '60'], ['Residual force, N', '0']] as const) {
      await page.getByLabel(name).fill(value);
    }
    await page.getByRole('button', { name: 'Add this reading' }).click();
  }
  await page.getByRole('button', { name: 'Keep it: passed' }).click();
}

async function sign(name: string): Promise<void> {
  await page.getByLabel('Name of whoever signs').fill(name);
  await page.locator('canvas[data-ready]').waitFor();
  await page.locator('canvas').scrollIntoViewIfNeeded();
  const box = (await page.locator('canvas').boundingBox())!;
  await page.mouse.move(box.x + 60, box.y + 120);
  await page.mouse.down();
  for (let at = 0; at < 30; at++) await page.mouse.move(box.x + 60 + at * 9, box.y + 110 + Math.sin(at / 2) * 50);
  await page.mouse.up();
  await page.getByRole('button', { name: 'Keep the signature' }).click();
  await page.getByRole('img', { name: `Signature of ${name}` }).waitFor();
}

describe('a technician’s tablet', () => {
  let door: Door;
  let order: WholeWorkOrder;
  let counterValue: number;

  it('loads little, and everything that it loads is kept', () => {
    const folder = fileURLToPath(new URL('../../apps/tablet/dist-web/', import.meta.url));
    const page = readFileSync(`${folder}index.html`, 'utf8');
    const first = [...page.matchAll(/(?:src|href)="\/tablet\/(assets\/[^"]+\.js)"/g)].map(([, name]) => name!);
    const bytes = first.reduce((sum, name) => sum + gzipSync(readFileSync(folder + name)).length, 0);
    console.log(`tablet: first load ${(bytes / 1000).toFixed(1)} kB of JavaScript, gzipped`);
    expect(first.length).toBeGreaterThan(0);
    expect(bytes).toBeLessThan(250_000);
    const worker = readFileSync(`${folder}sw.js`, 'utf8');
    for (const name of readdirSync(`${folder}assets`)) expect(worker).toContain(`"assets/${name}"`);
  });

  it('signs in once and has the visits of the day', async () => {
    await addGauge();
    const doors = (await world.planner.get<List<Door>>('/doors?limit=100&state=in-service&sort=name')).items;
    const chained = await world.planner.get<List<Position>>('/positions?limit=100&kind=drive-chain');
    door = doors.find(({ doorTypeId, heightMm, widthMm }) => heightMm > 2800 && widthMm > 400 && chained.items.some((position) => position.doorTypeId === doorTypeId))!;
    order = await releasedInspection(door);
    expect(order.steps.map(({ kind }) => kind)).toEqual(expect.arrayContaining(['confirm', 'test-device', 'force-test', 'photograph', 'read-counter', 'fit-part']));
    const readings = await world.planner.get<List<{ value: number }>>(`/readings?doorId=${door.id}&sort=-at&limit=1`);
    counterValue = (readings.items[0]?.value ?? 0) + 1;
    page = await world.tablet.on();
    await page.goto(`${world.line.base}/tablet/`);
    await world.signIn(page);
    await heading(page, 'Visits').waitFor();
    await page.getByRole('link', { name: new RegExp(`${door.name}.*Yearly inspection`, 's') }).waitFor();
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null || navigator.serviceWorker.ready.then((one) => one.active?.state === 'activated'));
    await page.getByText('All sent').waitFor();
    expect(await pageFaults(page)).toEqual([]);
    expect(await smallTargets(page)).toEqual([]);
  });

  it('shows door, history and orders with the line cut, after loading anew', async () => {
    await world.noSignal();
    await page.goto(`${world.line.base}/tablet/door/${door.id}`);
    await heading(page, door.name).waitFor();
    await page.getByRole('heading', { name: 'History' }).waitFor();
    await sync(page).getByText('No signal').waitFor();
    expect(await pageFaults(page)).toEqual([]);
    expect(await smallTargets(page)).toEqual([]);
  });

  it('carries an inspection out without a signal: cautions first, then step by step', async () => {
    await page.goto(`${world.line.base}/tablet/order/${order.id}`);
    await page.getByRole('button', { name: 'Begin: cautions first' }).click();
    const first = order.steps[0]!;
    expect(first).toMatchObject({ kind: 'confirm', caution: true });
    await heading(page, /^Step 1 of/).waitFor();
    await page.getByText(first.text).waitFor();
    // Another step than a caution is refused before them.
    const test = order.steps.findIndex(({ kind }) => kind === 'test-device') + 1;
    await page.goto(`${world.line.base}/tablet/order/${order.id}/step/${test}`);
    await page.getByRole('button', { name: 'Works', exact: true }).click();
    await page.getByRole('alert').getByText(/Confirm the cautions first/).waitFor();
    await page.goto(`${world.line.base}/tablet/order/${order.id}/step/1`);
    for (let steps = 0; steps < order.steps.length; steps++) {
      await page.getByRole('heading', { level: 1, name: /^Step/ }).waitFor();
      expect(await smallTargets(page)).toEqual([]);
      await answerStep(order, counterValue);
      // The battery ends in the middle: whatever was shown as kept is there.
      if (steps === Math.floor(order.steps.length / 2)) await batteryEnds();
      if ((await page.locator('h1').innerText()) === 'Review') break;
    }
    await heading(page, 'Review').waitFor();
  });

  async function batteryEnds(): Promise<void> {
    // The address is written in the frame after the one that shows a page.
    const at = await page.evaluate(() => new Promise<string>((done) => {
      requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(() => done(location.href))));
    }));
    const kept = await unsent();
    await world.tablet.kill();
    page = await world.tablet.on();
    await world.tablet.context.setOffline(true);
    await page.goto(at);
    await page.getByRole('heading', { level: 1 }).waitFor();
    expect(await unsent()).toBe(kept);
  }

  const unsent = async (): Promise<number> => {
    await page.waitForFunction(() => Number(document.querySelector<HTMLElement>('a.sync')?.dataset['waiting'] ?? 0) > 0);
    return Number(await sync(page).getAttribute('data-waiting'));
  };

  it('is signed and completed without a signal, and still there after the browser was killed', async () => {
    await page.goto(`${world.line.base}/tablet/order/${order.id}/review`);
    await sign('Kari Solheim');
    await page.goto(`${world.line.base}/tablet/order/${order.id}/time`);
    await page.getByLabel('Minutes', { exact: true }).fill('55');
    await page.getByRole('button', { name: 'Keep it' }).click();
    await heading(page, 'Review').waitFor();
    expect(await pageFaults(page)).toEqual([]);
    await page.getByRole('button', { name: 'Complete: passed' }).click();
    await page.getByText('completed').first().waitFor();
    await batteryEnds();
    await heading(page, 'Review').waitFor();
    await page.getByText('CH-NEW-1').waitFor();
    await page.getByRole('img', { name: 'Signature of Kari Solheim' }).waitFor();
    const meanwhile = await world.planner.get<WholeWorkOrder>(`/work-orders/${order.id}`);
    expect(meanwhile.state).toBe('released');
  });

  it('sends everything once the line is back: one completed order with photo, signature, reading and new part', async () => {
    await world.signal();
    // The cookie may not have reached the disk before the kill; then the tablet asks, and keeps everything.
    await page.waitForFunction(() => ['in-step', 'sign-in'].includes(document.querySelector<HTMLElement>('a.sync')?.dataset['state'] ?? ''), undefined, { timeout: 60_000 });
    if ((await sync(page).getAttribute('data-state')) === 'sign-in') {
      await sync(page).click();
      await world.signIn(page);
    }
    await inStep(page);
    const after = await world.planner.get<WholeWorkOrder>(`/work-orders/${order.id}`);
    expect(after).toMatchObject({ state: 'completed', passed: true, keptWork: [], conflicts: [], times: [{ kind: 'work', minutes: 55 }] });
    expect(after.answers).toHaveLength(after.steps.length);
    expect(after.signatures).toMatchObject([{ signerName: 'Kari Solheim' }]);
    const photo = after.images.find(({ kind }) => kind === 'photo')!;
    expect([photo.width, photo.height]).toEqual([1600, 1200]);
    expect(after.images.map(({ kind }) => kind).sort()).toEqual(['photo', 'signature']);
    const bytes = await (await world.planner.context.request.get(`${world.lintel.base}/api/v1/work-images/${photo.id}`)).body();
    expect(createHash('sha256').update(bytes).digest('hex')).toBe(photo.sha256);
    expect(bytes.subarray(0, 3)).toEqual(Buffer.from([0xff, 0xd8, 0xff]));
    const readings = await world.planner.get<List<{ value: number }>>(`/readings?doorId=${door.id}&sort=-at&limit=5`);
    expect(readings.items.filter(({ value }) => value === counterValue)).toHaveLength(1);
    const chains = await world.planner.get<List<FittedPart>>(`/fitted-parts?doorId=${door.id}&kind=drive-chain&limit=20`);
    expect(chains.items.filter(({ fitted }) => fitted)).toMatchObject([{ serial: 'CH-NEW-1' }]);
    expect(chains.items.filter(({ removalReason }) => removalReason === 'worn').length).toBeGreaterThan(0);
    await page.goto(`${world.line.base}/tablet/needs`);
    await page.getByText('Nothing needs you.').waitFor();
  });

  /** How long the disk takes to have something small for good, ms each. */
  const durableWrites = (): Promise<number[]> => page.evaluate(async () => {
    const { name } = (await indexedDB.databases()).find((one) => one.name?.startsWith('lintel-tablet-'))!;
    const database = await new Promise<IDBDatabase>((done, fail) => {
      const opening = indexedDB.open(name!);
      opening.addEventListener('success', () => done(opening.result));
      opening.addEventListener('error', () => fail(opening.error!));
    });
    const took: number[] = [];
    for (let times = 0; times < 15; times++) {
      const from = performance.now();
      await new Promise<void>((done, fail) => {
        const writing = database.transaction(['drafts'], 'readwrite', { durability: 'strict' });
        writing.objectStore('drafts').put({ key: 'of no step', value: times });
        if (times === 14) writing.objectStore('drafts').delete('of no step');
        writing.addEventListener('complete', () => done());
        writing.addEventListener('error', () => fail(writing.error!));
      });
      took.push(performance.now() - from);
    }
    database.close();
    return took;
  });

  it('goes from step to step on a slow processor: measured, not judged', async () => {
    const slow = await releasedInspection(door);
    await page.goto(`${world.line.base}/tablet/device`);
    await page.getByRole('button', { name: 'Send and receive now' }).click();
    await page.goto(`${world.line.base}/tablet/order/${slow.id}`);
    await page.getByRole('button', { name: 'Begin: cautions first' }).click();
    await heading(page, /^Step 1 of/).waitFor();
    const cdp = await world.tablet.context.newCDPSession(page);
    await cdp.send('Emulation.setCPUThrottlingRate', { rate: 4 });
    const work = new FrameWork(page, cdp);
    const frame = await page.locator('header.top').elementHandle();
    const paging: Shown[] = [];
    for (const [side, last] of [[':last-child', slow.steps.length], [':first-child', 1]] as const) {
      for (let at = 1; at < slow.steps.length; at++) paging.push(await work.tap(`footer.foot .button${side}`));
      await heading(page, `Step ${last} of ${slow.steps.length}`).waitFor();
    }
    // The guard that no clock can be: the frame around the steps is the same one, and only the step is made anew.
    expect(await frame!.evaluate((one) => one.isConnected)).toBe(true);
    await page.waitForURL(/step\/1$/);
    const writes = await durableWrites();
    const answers: Shown[] = [];
    for (const [index, step] of slow.steps.entries()) {
      await heading(page, `Step ${index + 1} of ${slow.steps.length}`).waitFor();
      const answered = oneTap.includes(step.kind);
      const shown = await work.tap(answered ? '.answers .button.first' : 'footer.foot .button:last-child');
      if (answered) answers.push(shown);
    }
    await cdp.send('Emulation.setCPUThrottlingRate', { rate: 1 });
    console.log('tablet, at a quarter of the processor’s speed:');
    console.log(`  from step to step: ${shownWords(paging)}`);
    console.log(`  a durable write alone: median ${middle(writes).toFixed(1)} ms on the clock (greatest ${Math.max(...writes).toFixed(1)})`);
    console.log(`  an answer, kept, leads on: ${shownWords(answers)}`);
    expect(answers.length).toBeGreaterThan(0);
    expect(world.tablet.thrown).toEqual([]);
  });
});
