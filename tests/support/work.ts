import { randomUUID } from 'node:crypto';
import { measuringPoints, type ForceGauge, type StepAnswer, type WorkStep } from '@lintel/engine';
import type { CommandAnswer, TechnicianCommand, WholeWorkOrder } from '@lintel/contract';
import type { Caller } from './api.js';

/** A gauge within the limits of the program's own table, calibrated `today`. */
export const gauge = (today: string): ForceGauge => ({
  samplingHertz: 1000, accuracyPercent: 1, rangeFromNewton: 10, rangeToNewton: 2500, springNewtonPerMm: 500, discMm: 80, calibratedOn: today,
});

/** An answer that passes a step; invented figures well within every limit. */
export function passing(step: WorkStep, today = new Date().toISOString().slice(0, 10)): StepAnswer {
  switch (step.kind) {
    case 'confirm': return { kind: 'confirm', confirmed: true };
    case 'measure': return { kind: 'measure', value: step.lower ?? step.upper ?? 1, unit: step.unit };
    case 'choose': return { kind: 'choose', choice: step.options.find((option) => !step.failing?.includes(option))! };
    case 'photograph': return { kind: 'photograph', photoIds: Array.from({ length: step.least ?? 1 }, () => randomUUID()) };
    case 'read-counter': return { kind: 'read-counter', value: 1000 };
    case 'test-device': return { kind: 'test-device', passed: true };
    case 'fit-part': return { kind: 'fit-part', removed: { reason: 'worn' }, fitted: {} };
    case 'text': return { kind: 'text', text: 'done' };
    case 'force-test': {
      const points = measuringPoints(step.opening, step.limits);
      if ('refused' in points) throw new Error(points.refused);
      const figures = { peakNewton: 200, dynamicMs: 300, staticNewton: 80, residualNewton: 10 };
      const readings = points.flatMap(({ heightMm, across }) => Array.from({ length: 3 }, () => ({ heightMm, across, figures, shortfalls: [] })));
      return { kind: 'force-test', readings, gauge: gauge(today), usedOn: today };
    }
  }
}

export interface Sent {
  id: string;
  madeAt: string;
  orderId: string;
  command: TechnicianCommand;
}

export const sent = (orderId: string, command: TechnicianCommand, madeAt = new Date()): Sent =>
  ({ id: randomUUID(), madeAt: madeAt.toISOString(), orderId, command });

/** Sends a batch as a device; answers its answers. */
export async function send(caller: Caller, commands: Sent[]): Promise<CommandAnswer[]> {
  const answer = await caller.post('device/commands', { device: 'tablet 1', commands });
  if (answer.status !== 200) throw new Error(`${answer.status} ${answer.text}`);
  return answer.body.answers;
}

/** Answers of all steps that must be answered, in their order, but those that are given otherwise. */
export function workThrough(order: WholeWorkOrder, otherwise: Record<string, StepAnswer> = {}): Sent[] {
  return order.steps.filter(({ id, optional }) => !optional || id in otherwise).map((step) =>
    sent(order.id, { command: 'answer', stepId: step.id, answer: (otherwise[step.id] ?? passing(step)) as never }));
}

/** Makes an order, gives it to somebody, releases it. */
export async function released(planner: Caller, given: object): Promise<WholeWorkOrder> {
  const made = await planner.post('work-orders', given);
  if (made.status !== 201) throw new Error(`${made.status} ${made.text}`);
  const answer = await planner.post(`work-orders/${made.body.id}/release`);
  if (answer.status !== 200) throw new Error(`${answer.status} ${answer.text}`);
  return answer.body;
}
