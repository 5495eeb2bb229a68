export type DoorKind = 'freezer' | 'cooler' | 'dock';

export type ChecklistStepKind =
  | 'confirm'
  | 'measure'
  | 'choose'
  | 'photograph'
  | 'read-counter'
  | 'test-device'
  | 'force-test'
  | 'fit-part'
  | 'text';

/** One step of a task's checklist. */
export interface ChecklistStep {
  kind: ChecklistStepKind;
  text: string;
  /** For a measured value: its unit and, where there are any, its limits (inclusive). */
  unit?: string;
  lower?: number;
  upper?: number;
}

/** A default life rating: the age by which one part in ten has failed, in cycles or in months, with its Weibull shape. */
export interface LibraryRating {
  b10Cycles?: number;
  b10Months?: number;
  shape: number;
  /** Standard deviations of ln(shape) and ln(B10). */
  shapeSpread: number;
  ratingSpread: number;
  source: string;
}

/** The place on a door for one wearing part or safety device. */
export interface LibraryPosition {
  /** A kind of part, e.g. `drive-chain`. */
  kind: string;
  name: string;
  safetyDevice: boolean;
  /** Shares of the front elevation's width from the left and height from the top. */
  drawnX: number;
  drawnY: number;
  rating: LibraryRating;
}

/** One recurring task. At least one interval is set. */
export interface LibraryTask {
  name: string;
  safety: boolean;
  intervalCycles?: number;
  intervalMonths?: number;
  /** How many days before the due date it may be done without being too early. */
  earlyDays: number;
  /** Days after the due date before it counts as overdue; 0 for safety inspections. */
  graceDays: number;
  minutes: number;
  skills: readonly string[];
  checklist: readonly ChecklistStep[];
  /** Kinds of part that it usually takes. */
  parts: readonly string[];
  /** Where the interval comes from. */
  source: string;
}

/** A generic door type to start from; no maker's. */
export interface LibraryDoorType {
  kind: DoorKind;
  name: string;
  supplyVolts: number;
  heated: boolean;
  widthMm: number;
  heightMm: number;
  /** Lower bound of one full cycle (open, hold, close), seconds: no counter can run faster. */
  minCycleSeconds: number;
  notes: string;
  positions: readonly LibraryPosition[];
  planName: string;
  tasks: readonly LibraryTask[];
}
