import QRCode from 'qrcode';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Door, WholeWorkOrder } from '@lintel/contract';
import { heading, inStep, pageFaults, smallTargets, sync, TabletWorld } from './tabletWorld.js';

let world: TabletWorld;
let page: Page;
let doors: Door[];

beforeAll(async () => {
  world = await TabletWorld.start();
  doors = (await world.planner.get<{ items: Door[] }>('/doors?limit=100&state=in-service&sort=name')).items;
  page = await world.tablet.on();
  await page.goto(`${world.line.base}/tablet/`);
  await world.signIn(page);
  await heading(page, 'Visits').waitFor();
  await inStep(page);
});
afterAll(() => world?.stop());

async function receive(): Promise<void> {
  await page.goto(`${world.line.base}/tablet/device`);
  await page.getByRole('button', { name: 'Send and receive now' }).click();
  await inStep(page);
}

const at = (path: string) => page.goto(`${world.line.base}/tablet/${path}`);
const stepNumber = (order: WholeWorkOrder, kind: string): number => order.steps.findIndex((step) => step.kind === kind) + 1;

/** An inspection on the tablet, begun, its cautions confirmed. */
async function begun(door: Door, given: object = {}): Promise<WholeWorkOrder> {
  const order = await world.released(door, { kind: 'inspection', title: 'Inspection', ...given });
  await receive();
  await at(`order/${order.id}`);
  await page.getByRole('button', { name: 'Begin: cautions first' }).click();
  for (const step of order.steps.filter((one) => one.kind === 'confirm' && one.caution)) {
    const title = heading(page, `Step ${order.steps.indexOf(step) + 1} of ${order.steps.length}`);
    await title.waitFor();
    await page.getByRole('button', { name: 'Done: confirmed' }).click();
    await title.waitFor({ state: 'detached' });
  }
  return order;
}

describe('what needs a person', () => {
  it('a failed check asks for a remark and a finding; an unsafe door is out of service at once, here and then everywhere', async () => {
    const door = doors[0]!;
    const order = await begun(door);
    await world.noSignal();
    await at(`order/${order.id}/step/${stepNumber(order, 'test-device')}`);
    await page.getByRole('button', { name: 'Does not work' }).click();
    await page.getByRole('alert').getByText('a failed check needs a remark').waitFor();
    await page.getByLabel('Remark').fill('The edge does not stop the door.');
    await page.getByRole('button', { name: 'Does not work' }).click();
    await heading(page, 'Report a finding').waitFor();
    await page.getByText('This safety check failed.').waitFor();
    await page.getByRole('button', { name: /unsafe/ }).click();
    await page.getByText('The door goes out of service with this.').waitFor();
    await page.getByLabel('What is wrong').fill('Bottom edge without effect');
    expect(await pageFaults(page)).toEqual([]);
    expect(await smallTargets(page)).toEqual([]);
    // Half a finding survives the pages being loaded anew.
    await page.reload();
    expect(await page.getByLabel('What is wrong').inputValue()).toBe('Bottom edge without effect');
    await page.getByRole('button', { name: 'Report: door out of service' }).click();
    await page.getByRole('heading', { level: 1, name: /^Step/ }).waitFor();
    await at(`door/${door.id}`);
    await page.getByText('out of service').first().waitFor();
    await at(`order/${order.id}/review`);
    await page.getByText(/Not as passed: /).waitFor();
    expect(await page.getByRole('button', { name: 'Complete: passed' }).isDisabled()).toBe(true);
    expect((await world.planner.get<Door>(`/doors/${door.id}`)).state).toBe('in-service');
    await world.signal();
    await inStep(page);
    expect((await world.planner.get<Door>(`/doors/${door.id}`)).state).toBe('out-of-service');
    expect((await world.order(order.id)).findings).toMatchObject([{ severity: 'unsafe', text: 'Bottom edge without effect' }]);
  });

  it('work on an order that was cancelled meanwhile is listed with its reason, on both sides', async () => {
    const order = await begun(doors[1]!);
    await inStep(page);
    await world.noSignal();
    await at(`order/${order.id}/step/${stepNumber(order, 'test-device')}`);
    await page.getByRole('button', { name: 'Works', exact: true }).click();
    await page.waitForFunction(() => document.querySelector<HTMLElement>('a.sync')?.dataset['waiting'] === '1');
    await world.post(`/work-orders/${order.id}/cancel`, { reason: 'The site is closed.' });
    await world.signal();
    await inStep(page);
    await at('needs');
    await page.getByText('An order that is cancelled cannot be answered.').waitFor();
    expect(await pageFaults(page)).toEqual([]);
    expect(await smallTargets(page)).toEqual([]);
    expect((await world.order(order.id)).keptWork).toMatchObject([{ outcome: 'refused', refusal: { code: 'not-in-this-state' } }]);
    await page.getByRole('button', { name: 'I have dealt with it' }).click();
    await page.getByText('Dealt with: 1 command, kept on this device').waitFor();
  });

  it('two answers that did not know of each other stand side by side until a person settles them', async () => {
    const order = await begun(doors[2]!);
    await inStep(page);
    const number = stepNumber(order, 'test-device');
    const step = order.steps[number - 1]!;
    await world.noSignal();
    await at(`order/${order.id}/step/${number}`);
    await page.getByRole('button', { name: 'Works', exact: true }).click();
    await page.waitForFunction(() => document.querySelector<HTMLElement>('a.sync')?.dataset['waiting'] === '1');
    // Of a safety check two answers that did not know of each other are contradictory whatever they say.
    await world.post(`/work-orders/${order.id}/answer`, { stepId: step.id, answer: { kind: 'test-device', passed: true, remark: 'Seen by the planner.' }, baseId: null });
    await world.signal();
    await inStep(page);
    await at('needs');
    await page.getByRole('link', { name: new RegExp('Settle it') }).click();
    await heading(page, 'Contradicting answers').waitFor();
    const mine = page.getByRole('region', { name: 'Yours' });
    await mine.getByText('works', { exact: true }).waitFor();
    await page.getByRole('region', { name: 'The other one' }).getByText('“Seen by the planner.”').waitFor();
    expect(await pageFaults(page)).toEqual([]);
    expect(await smallTargets(page)).toEqual([]);
    await mine.getByRole('button', { name: 'This one counts' }).click();
    await page.getByRole('alert').getByText('say in the remark why').waitFor();
    await page.getByLabel('Remark').fill('Tested again together: it works.');
    await mine.getByRole('button', { name: 'This one counts' }).click();
    await heading(page, 'Needs you').waitFor();
    await inStep(page);
    const after = await world.order(order.id);
    expect(after.conflicts).toEqual([]);
    expect(after.answers.findLast(({ stepId, counts }) => counts && stepId === step.id)?.value).toMatchObject({ outcome: 'passed', remark: 'Tested again together: it works.' });
  });
});

describe('one outbox', () => {
  it('is sent once by two tabs to which the signal comes back at the same time', async () => {
    const order = await begun(doors[3]!);
    await inStep(page);
    await world.noSignal();
    const number = stepNumber(order, 'test-device');
    for (const offset of [0, 1, 2]) {
      if (order.steps[number - 1 + offset]?.kind !== 'test-device') continue;
      await at(`order/${order.id}/step/${number + offset}`);
      await page.getByRole('button', { name: 'Works', exact: true }).click();
      await page.getByRole('heading', { level: 1, name: `Step ${number + offset} of ${order.steps.length}` }).waitFor({ state: 'detached' });
    }
    const second = await world.tablet.context.newPage();
    await second.goto(`${world.line.base}/tablet/`);
    await heading(second, 'Visits').waitFor();
    await second.waitForFunction(() => Number(document.querySelector<HTMLElement>('a.sync')?.dataset['waiting']) > 0);
    const sent: string[] = [];
    for (const tab of [page, second]) {
      tab.on('request', (request) => {
        if (request.url().endsWith('/device/commands')) sent.push(...(request.postDataJSON() as { commands: { id: string }[] }).commands.map(({ id }) => id));
      });
    }
    await world.signal();
    await Promise.all([inStep(page), inStep(second)]);
    const answers = (await world.order(order.id)).answers.filter(({ value }) => value.kind === 'test-device');
    expect(answers.length).toBeGreaterThanOrEqual(1);
    // Each command went out in one request: the other tab waited for the lock, and then had nothing left to send.
    expect(new Set(answers.map(({ id }) => id)).size).toBe(answers.length);
    expect(sent.filter((id) => answers.some((one) => one.id === id)).sort()).toEqual(answers.map(({ id }) => id).sort());
    await second.close();
  });
});

describe('a label', () => {
  it('is read from a photograph of it and leads to its door, without a signal', async () => {
    const door = doors[3]!;
    await world.noSignal();
    const label = await QRCode.toBuffer(`${world.line.base}/tablet/door/${door.id}`, { width: 600, margin: 4 });
    await at('find');
    await page.getByRole('button', { name: 'Scan a label' }).click();
    await page.getByLabel('Photograph the code').setInputFiles({ name: 'label.png', mimeType: 'image/png', buffer: label });
    await heading(page, door.name).waitFor();
    await at('find');
    await page.getByLabel(/Or type/).fill(door.serial ?? door.name);
    await page.getByRole('link', { name: new RegExp(door.name) }).first().waitFor();
    expect(await pageFaults(page)).toEqual([]);
    expect(await smallTargets(page)).toEqual([]);
    await world.signal();
  });
});

describe('the dark of a freezer, and US units', () => {
  it('can be read, and are kept by the device', async () => {
    await at('device');
    await page.getByRole('button', { name: 'Freezer dark' }).click();
    await page.getByRole('button', { name: 'US', exact: true }).click();
    for (const path of ['', 'device', `door/${doors[3]!.id}`]) {
      await at(path);
      await page.getByRole('heading', { level: 1 }).waitFor();
      expect([path, await pageFaults(page)]).toEqual([path, []]);
    }
    await page.getByText(/\d in × /).first().waitFor();
    await sync(page).waitFor();
    expect(world.tablet.thrown).toEqual([]);
  });
});
