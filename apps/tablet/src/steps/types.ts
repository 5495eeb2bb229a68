import type { StepAnswer, StepKind, StepValue, WorkStep } from '@lintel/engine';
import type { OrderView } from '../keep/read.js';
import type { Units } from '../shell/theme.js';

export type StepOf<Kind extends StepKind> = Extract<WorkStep, { kind: Kind }>;

/** What an input of a step is given: the step, what it holds already, and what to do with an answer. */
export interface StepInputProps<Kind extends StepKind = StepKind> {
  view: OrderView;
  step: StepOf<Kind>;
  value: Extract<StepValue, { kind: Kind }> | undefined;
  units: Units;
  /** Key under which half an answer is kept. */
  draftKey: string;
  onAnswer: (answer: StepAnswer) => Promise<void>;
}

/** A typed number, with a point or a comma; NaN for anything else. */
export function typedNumber(text: string): number {
  const plain = text.trim().replaceAll(' ', '').replace(',', '.');
  return /^[+-]?(?:\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : Number.NaN;
}

/** A typed whole number, with or without marks between thousands; NaN for anything else. */
export function typedCount(text: string): number {
  const plain = text.replaceAll(/[\s.,'’]/g, '');
  return /^\d{1,15}$/.test(plain) ? Number(plain) : Number.NaN;
}
