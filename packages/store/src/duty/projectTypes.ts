import type { CivilDate, CounterSpan, CycleHistory, DutyModel, DutyNodes, LifeRating, TaskRule } from '@lintel/engine';
import type { LearnedModel } from '../wear/learnedModels.js';
import type { CounterReadings } from './projectReadings.js';

/** A part that is fitted now, with the rating of its position (null: not rated) and what was learned of such parts (null: nothing). */
export interface LoadedPart {
  id: string;
  fittedAt: number;
  fittedCycles: number | null;
  ageAtFitting: number;
  rating: LifeRating | null;
  learned: LearnedModel | null;
}

/** A task of a plan in force. */
export interface LoadedTask extends TaskRule {
  id: string;
}

/** When a task was last done on a door. */
export interface LoadedCompletion {
  doneAt: number;
  lifetimeCycles: number | null;
}

/** A planner's word over one reading. */
export interface LoadedOverrule {
  counterId: string;
  at: number;
  value: number;
  use: boolean;
}

/** One door with all that its projection needs. */
export interface LoadedDoor {
  id: string;
  siteId: string;
  doorTypeId: string;
  installedOn: CivilDate;
  decommissioned: boolean;
  timeZone: string;
  regimeMonths: number | null;
  minCycleSeconds: number;
  counters: { id: string; span: CounterSpan }[];
  readings: CounterReadings[];
  overrules: LoadedOverrule[];
  parts: LoadedPart[];
  tasks: LoadedTask[];
  /** Last completion of each task, by task. */
  completions: Map<string, LoadedCompletion>;
}

/** A door with its duty, as its parts and tasks need it. */
export interface DoorDutyState {
  doorId: string;
  timeZone: string;
  firstDayMs: number;
  history: CycleHistory;
  duty: DutyModel;
  nodes: DutyNodes;
}
