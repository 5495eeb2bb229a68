import type { CompetenceKind, Refusal } from '../safety/index.js';
import type { StepRefusalCode } from './checkStep.js';
import type { PartFitted, PartRemoved, StepAnswer, StepValue, WorkStep } from './steps.js';

/** Kinds of maintenance work after EN 13306; inspection and commissioning check the door's safety as a whole. */
export type WorkKind = 'preventive' | 'inspection' | 'corrective' | 'commissioning';

export type WorkState = 'planned' | 'released' | 'started' | 'completed' | 'reviewed' | 'cancelled';

/** `unsafe` takes the door out of service at once. */
export type FindingSeverity = 'note' | 'defect' | 'unsafe';

export interface Finding {
  id: string;
  severity: FindingSeverity;
  text: string;
  /** The step at which it was seen. */
  stepId?: string;
}

/** The answer to a step, as accepted. Answers are only ever added: the last one of a step counts. */
export interface StepAnswered {
  stepId: string;
  value: StepValue;
}

/** A work order as far as its rules go; who, when, where and for how long is its owner's matter. */
export interface WorkOrder {
  kind: WorkKind;
  state: WorkState;
  /** Empty until release, and never changed after it. */
  steps: readonly WorkStep[];
  /** Positions of the door's safety devices at release. */
  devices: readonly string[];
  answers: readonly StepAnswered[];
  /** Contradicting answers that nobody has settled yet (`standing`); while there is one, the order is not completed. */
  conflicts?: readonly StepAnswered[];
  findings: readonly Finding[];
  /** Unsafe findings that this order is to test again. */
  retests: readonly string[];
  /** From completion on. */
  passed?: boolean;
  /** Of a cancelled order. */
  cancelReason?: string;
}

export type WorkCommand =
  | { command: 'release'; steps: readonly WorkStep[]; devices: readonly string[] }
  | { command: 'start' }
  | { command: 'answer'; stepId: string; answer: StepAnswer }
  | { command: 'report'; finding: Finding }
  | {
      command: 'complete';
      passed: boolean;
      /** Unsafe findings that are open on the door, from whatever order. */
      openUnsafe: readonly string[];
      /** Of the competences that the order asks for (`competencesFor`), those that whoever completes it lacks on record. */
      lacking?: readonly CompetenceKind[];
    }
  | { command: 'review' }
  | { command: 'cancel'; reason: string };
export type WorkCommandName = WorkCommand['command'];

/** What has to happen together with a change of state, in one transaction; the engine does none of it. */
export type WorkEffect =
  | { effect: 'take-door-out-of-service'; findingIds: readonly string[] }
  | { effect: 'record-completion'; passed: boolean }
  | { effect: 'store-reading'; stepId: string; value: number }
  | { effect: 'change-part'; stepId: string; positionId: string; removed?: PartRemoved; fitted?: PartFitted }
  | { effect: 'open-corrective'; findingId: string; severity: FindingSeverity }
  | { effect: 'clear-unsafe'; findingIds: readonly string[] }
  | { effect: 'return-door-to-service' }
  | { effect: 'issue-certificate'; passed: boolean };

export type WorkRefusalCode =
  | StepRefusalCode
  | 'not-in-this-state'
  | 'no-steps'
  | 'step-twice'
  | 'step-not-usable'
  | 'device-without-step'
  | 'retest-without-check'
  | 'no-such-step'
  | 'cautions-first'
  | 'finding-twice'
  | 'steps-unanswered'
  | 'conflict-unsettled'
  | 'device-unchecked'
  | 'safety-check-failed'
  | 'unsafe-finding'
  | 'unsafe-not-retested'
  | 'not-competent'
  | 'failure-without-finding';
export type WorkRefusal = Refusal<WorkRefusalCode>;
