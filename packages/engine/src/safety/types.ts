/** What a refusal or a reason is about: numbers and names, from which the pages make a sentence. */
export type Facts = Readonly<Record<string, number | string | readonly string[]>>;

/** An expected refusal: why, as a code, and the facts. */
export interface Refusal<Code extends string = string> {
  refused: Code;
  facts: Facts;
}

/** How well a value is known. All but `read` are to be confirmed against the standard or the maker before anybody relies on them. */
export type SourceStatus = 'read' | 'second-hand' | 'from-memory' | 'common-practice';

export interface ForceSample {
  ms: number;
  newton: number;
}

/** What counts of one closing force test; see `forceFigures` for the definitions. */
export interface ForceFigures {
  peakNewton: number;
  dynamicMs: number;
  staticNewton: number;
  residualNewton: number;
}

export type ForceReasonCode =
  | 'peak-too-high'
  | 'dynamic-too-long'
  | 'static-too-high'
  | 'residual-too-high'
  | 'no-contact'
  | 'static-phase-not-seen'
  | 'record-too-short'
  | 'sampling-too-slow'
  | 'samples-missing'
  | 'readings-missing';

/** Why a force test is not passed. */
export interface ForceReason {
  code: ForceReasonCode;
  facts: Facts;
}

/** One reading: its figures, and what its record lacks as evidence (nothing for typed values). */
export interface ForceReading {
  figures: ForceFigures;
  shortfalls: readonly ForceReason[];
}

/** Where a force is measured. */
export interface ForcePlace {
  /** Clear distance between the closing edge and what it closes on, mm. */
  gapMm: number;
  movement: 'vertical' | 'horizontal';
  /** Between closing edge and counter edge; or between flat areas over 0.1 m² with no side under 100 mm. */
  position: 'closing-edge' | 'flat-areas';
}

export type ForceLimitId =
  | 'peak-vertical-near'
  | 'peak-vertical-far'
  | 'peak-horizontal-near'
  | 'peak-horizontal-far'
  | 'peak-flat-areas'
  | 'dynamic'
  | 'static'
  | 'residual'
  | 'residual-after'
  | 'readings'
  | 'point-height-low'
  | 'point-height-middle'
  | 'point-height-high'
  | 'point-low-opening'
  | 'point-below-open'
  | 'point-from-side'
  | 'gauge-disc'
  | 'gauge-spring'
  | 'gauge-spring-tolerance'
  | 'gauge-range-from'
  | 'gauge-range-to'
  | 'gauge-sampling'
  | 'gauge-accuracy'
  | 'gauge-calibration';

export interface ForceLimitRow {
  value: number;
  unit: 'N' | 'ms' | 'mm' | 'N/mm' | 'Hz' | '%' | 'months' | 'readings';
  /** `most`: a lower value is tighter; `least`: a higher one is; `exact`: every change loosens. */
  bound: 'most' | 'least' | 'exact';
  source: string;
  status: SourceStatus;
}

export interface ForceLimitChange {
  row: ForceLimitId;
  from: number;
  to: number;
  /** Looser than the value before: then the reason is never empty. */
  loosened: boolean;
  reason: string;
  by: string;
  /** `YYYY-MM-DD` */
  on: string;
}

/** A version of the limits; every change makes a new one and keeps what was changed by whom and why. */
export interface ForceLimitTable {
  name: string;
  version: number;
  rows: Readonly<Record<ForceLimitId, ForceLimitRow>>;
  changes: readonly ForceLimitChange[];
}

/** The limits that hold at one place, with the rows that they come from. */
export interface ForceLimits {
  peakNewton: number;
  dynamicMs: number;
  staticNewton: number;
  residualNewton: number;
  table: string;
  version: number;
  rows: readonly (ForceLimitRow & { id: ForceLimitId })[];
}

export interface ForceVerdict {
  passed: boolean;
  figures: ForceFigures;
  limits: ForceLimits;
  /** Empty just when passed. */
  reasons: readonly ForceReason[];
}
