import { randomUUID } from 'node:crypto';
import {
  defaultForceLimits, forceFigures, measuringPoints, type CivilDate, type ForceGauge, type PointReading, type StepAnswer, type WorkStep,
} from '@lintel/engine';
import type { Dice } from './dice.js';

const MS_STEP = 4;

export interface DemoAnswering {
  dice: Dice;
  /** What the door's counter shows. */
  counter: number;
  usedOn: CivilDate;
  gauge: ForceGauge;
  /** The company's own record of the gauge; null: it keeps none. */
  instrumentId: string | null;
  /** Whether a force test's curves are kept too, not its figures alone. */
  curves: boolean;
}

/** What is entered at a step that passes: invented values within the step's own limits. */
export function demoAnswer(step: WorkStep, answering: DemoAnswering): StepAnswer {
  const { dice, counter } = answering;
  switch (step.kind) {
    case 'confirm': return { kind: 'confirm', confirmed: true };
    case 'measure': return { kind: 'measure', value: demoValue(step, dice), unit: step.unit };
    case 'choose': return { kind: 'choose', choice: step.options.find((option) => !step.failing?.includes(option)) ?? step.options[0]! };
    case 'photograph': return { kind: 'photograph', photoIds: Array.from({ length: step.least ?? 1 }, () => randomUUID()), remark: 'Demo: the picture itself is not kept' };
    case 'read-counter': return { kind: 'read-counter', value: step.modulus === undefined ? counter : counter % step.modulus };
    case 'test-device': return { kind: 'test-device', passed: true };
    case 'fit-part': return { kind: 'fit-part', removed: { reason: 'worn' }, fitted: {} };
    case 'text': return { kind: 'text', text: 'Done as planned' };
    case 'force-test': return forceAnswer(step, answering);
  }
}

function demoValue({ lower, upper, resolution = 0.01 }: Extract<WorkStep, { kind: 'measure' }>, dice: Dice): number {
  const from = lower ?? (upper !== undefined && upper <= 0 ? upper - 10 : 0);
  const value = dice.between(from, upper === undefined ? from + 20 : from + 0.6 * (upper - from));
  return Number((Math.ceil(value / resolution) * resolution).toFixed(6));
}

function forceAnswer(step: Extract<WorkStep, { kind: 'force-test' }>, { dice, usedOn, gauge, instrumentId, curves }: DemoAnswering): StepAnswer {
  const points = measuringPoints(step.opening, step.limits);
  const readings = 'refused' in points ? [] : points.flatMap(({ heightMm, across }) => {
    const peakNewton = dice.between(170, 330);
    return Array.from({ length: step.limits.rows.readings.value }, () =>
      ({ heightMm, across, ...demoReading(Math.round(peakNewton * dice.between(0.95, 1.05)), Math.round(dice.between(40, 110)), curves) }));
  });
  return { kind: 'force-test', readings, gauge, usedOn, ...(instrumentId !== null && { instrumentId }) };
}

/** Contact, peak, rest until the door turns back. */
function demoReading(peakNewton: number, restNewton: number, curves: boolean): Omit<PointReading, 'heightMm' | 'across'> {
  const curve = Array.from({ length: 1450 }, (_, index) => {
    const ms = index * MS_STEP;
    const t = ms - 80;
    const newton = t < 0 || t > 1500 ? 0 : t < 50 ? (peakNewton * t) / 50 : restNewton + (peakNewton - restNewton) * Math.exp((50 - t) / 110);
    return { ms, newton: Math.round(newton * 10) / 10 };
  });
  const read = forceFigures(curve, defaultForceLimits);
  if ('refused' in read) throw new Error(read.refused);
  const { peakNewton: peak, dynamicMs, staticNewton, residualNewton } = read.figures;
  const figures = { peakNewton: peak, dynamicMs: Math.round(dynamicMs), staticNewton, residualNewton };
  return { figures, shortfalls: read.shortfalls, ...(curves && { curve }) };
}
