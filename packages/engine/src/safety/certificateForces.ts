import type { CivilDate } from '../upkeep/index.js';
import type { StepValue, WorkStep } from '../work/index.js';
import type { ForceGauge } from './checkGauge.js';
import { thinnedCurve } from './forceMarks.js';
import type { PointReading } from './judgeForceTest.js';
import type { MeasuringPoint } from './measuringPoints.js';
import type { ForceFigures, ForceLimitRow, ForceReasonCode, ForceSample } from './types.js';

/** A curve is drawn, not computed with: beyond so many samples it is thinned. */
const MOST_SAMPLES = 240;

/** The instrument that a test was made with, and the calibration that held on the day. */
export interface CertificateInstrument {
  name: string;
  maker: string | null;
  model: string | null;
  serial: string | null;
  calibration: { on: CivilDate; laboratory: string; certificate: string | null } | null;
}

export interface CertificateCurve {
  /** How many the gauge recorded; the samples are fewer where they were thinned. */
  recorded: number;
  /** [ms, newton], as recorded. */
  samples: readonly (readonly [number, number])[];
}

export interface CertificateForcePoint {
  heightMm: number;
  across: MeasuringPoint['across'];
  readings: number;
  /** The mean of the readings; null: none was taken. */
  means: ForceFigures | null;
  limits: ForceFigures | null;
  outcome: 'passed' | 'failed' | 'not-done';
  reasons: readonly ForceReasonCode[];
  curves: readonly CertificateCurve[];
}

export interface CertificateForceTest {
  usedOn: CivilDate;
  instrument: CertificateInstrument | null;
  /** The gauge's papers, as entered at the test. */
  gauge: Omit<ForceGauge, 'calibratedOn'> & { calibratedOn: CivilDate | null };
  outcome: StepValue['outcome'];
  remark: string | null;
  limits: { table: string; version: number; rows: readonly (ForceLimitRow & { id: string })[] };
  points: readonly CertificateForcePoint[];
}

/** The force tests of an order as a certificate says them: every point with its means, limits and curves. O(samples). */
export function certificateForces(
  steps: readonly WorkStep[],
  values: ReadonlyMap<string, StepValue>,
  instruments: ReadonlyMap<string, CertificateInstrument>,
): CertificateForceTest[] {
  return steps.flatMap(({ id }) => {
    const value = values.get(id);
    return value?.kind === 'force-test' ? [forceTest(value, instruments)] : [];
  });
}

type ForceValue = Extract<StepValue, { kind: 'force-test' }>;

function forceTest(value: ForceValue, instruments: ReadonlyMap<string, CertificateInstrument>): CertificateForceTest {
  const { gauge, usedOn, verdict, outcome, remark, instrumentId, readings = [] } = value;
  const rows = new Map(verdict.points.flatMap((point) => point.verdict?.limits.rows ?? []).map((row) => [row.id, row]));
  const first = verdict.points.find((point) => point.verdict)?.verdict?.limits;
  return {
    usedOn,
    instrument: (instrumentId === undefined ? undefined : instruments.get(instrumentId)) ?? null,
    gauge: { ...gauge, calibratedOn: gauge.calibratedOn ?? null },
    outcome,
    remark: remark ?? null,
    limits: { table: first?.table ?? '', version: first?.version ?? 0, rows: [...rows.values()] },
    points: verdict.points.map((point) => forcePoint(point, readings)),
  };
}

function forcePoint(
  { point, readings: taken, verdict }: ForceValue['verdict']['points'][number],
  readings: readonly PointReading[],
): CertificateForcePoint {
  const { heightMm, across } = point;
  const here = readings.filter((reading) => reading.heightMm === heightMm && reading.across === across);
  const limits = verdict?.limits;
  return {
    heightMm,
    across,
    readings: taken,
    means: verdict?.figures ?? null,
    limits: limits
      ? { peakNewton: limits.peakNewton, dynamicMs: limits.dynamicMs, staticNewton: limits.staticNewton, residualNewton: limits.residualNewton }
      : null,
    outcome: verdict === undefined ? 'not-done' : verdict.passed ? 'passed' : 'failed',
    reasons: verdict?.reasons.map(({ code }) => code) ?? [],
    curves: here.flatMap(({ curve }) => (curve && curve.length > 1 ? [forDrawing(curve)] : [])),
  };
}

const forDrawing = (curve: readonly ForceSample[]): CertificateCurve => ({
  recorded: curve.length,
  samples: thinnedCurve(curve, MOST_SAMPLES).map(({ ms, newton }) => [ms, newton] as const),
});
