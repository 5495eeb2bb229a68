import type { ForceGauge, ForceLimitTable, ForceTestVerdict, Opening, PointReading, SafetyDevice } from '../safety/index.js';
import type { CivilDate } from '../upkeep/index.js';

interface StepBase {
  id: string;
  text: string;
  /** What has to happen for the step to pass, and who says so. */
  help?: string;
  source?: string;
  /** May be left unanswered; never a safety check of an inspection. */
  optional?: boolean;
}

/**
 * One step of a work order. `safety` marks a step whose failing keeps the order from being passed; tests of devices and forces
 * always are. A `caution` is confirmed before any other step is answered.
 */
export type WorkStep =
  | (StepBase & { kind: 'confirm'; caution?: boolean; safety?: boolean })
  | (StepBase & {
      kind: 'measure';
      unit: string;
      lower?: number;
      upper?: number;
      /** Smallest step that the instrument shows, in the same unit. */
      resolution?: number;
      safety?: boolean;
    })
  | (StepBase & { kind: 'choose'; options: readonly string[]; failing?: readonly string[]; safety?: boolean })
  | (StepBase & { kind: 'photograph'; least?: number })
  | (StepBase & {
      kind: 'read-counter';
      /** The counter shows values below this only. */
      modulus?: number;
    })
  | (StepBase & { kind: 'test-device'; positionId: string; device: SafetyDevice })
  | (StepBase & { kind: 'force-test'; opening: Opening; limits: ForceLimitTable })
  | (StepBase & { kind: 'fit-part'; positionId: string })
  | (StepBase & { kind: 'text' });

export type StepKind = WorkStep['kind'];

export interface PartRemoved {
  reason: string;
  serial?: string;
}
export interface PartFitted {
  serial?: string;
  /** Cycles it had done elsewhere. */
  ageCycles?: number;
}

/** What a technician enters at a step. */
export type StepAnswer =
  | { kind: 'confirm'; confirmed: boolean; remark?: string }
  | { kind: 'measure'; value: number; unit: string; remark?: string }
  | { kind: 'choose'; choice: string; remark?: string }
  | { kind: 'photograph'; photoIds: readonly string[]; remark?: string }
  | { kind: 'read-counter'; value: number; remark?: string }
  | { kind: 'test-device'; passed: boolean; remark?: string }
  | {
      kind: 'force-test';
      readings: readonly PointReading[];
      gauge: ForceGauge;
      usedOn: CivilDate;
      /** Which of the company's instruments it was. */
      instrumentId?: string;
      remark?: string;
    }
  | { kind: 'fit-part'; removed?: PartRemoved; fitted?: PartFitted; remark?: string }
  | { kind: 'text'; text: string; remark?: string };

/** `recorded`: there is nothing to pass or fail. */
export type StepOutcome = 'passed' | 'failed' | 'recorded';

/** What a step holds once its answer was accepted. */
export type StepValue = { outcome: StepOutcome; remark?: string } & (
  | { kind: 'confirm'; confirmed: boolean }
  | { kind: 'measure'; value: number; unit: string }
  | { kind: 'choose'; choice: string }
  | { kind: 'photograph'; photoIds: readonly string[] }
  | { kind: 'read-counter'; value: number }
  | { kind: 'test-device'; positionId: string }
  | {
      kind: 'force-test';
      verdict: ForceTestVerdict;
      /** As entered, with their curves; absent in values of before they were kept. */
      readings?: readonly PointReading[];
      gauge: ForceGauge;
      usedOn: CivilDate;
      instrumentId?: string;
    }
  | { kind: 'fit-part'; positionId: string; removed?: PartRemoved; fitted?: PartFitted }
  | { kind: 'text'; text: string }
);

/** Does failing this step keep the order from being passed? */
export function isSafetyCheck(step: WorkStep): boolean {
  return step.kind === 'test-device' || step.kind === 'force-test' || ('safety' in step && step.safety);
}
