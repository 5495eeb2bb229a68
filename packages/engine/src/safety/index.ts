export type * from './types.js';
export { CALIBRATION_SOON_DAYS, calibrationGoodThrough, calibrationState } from './calibrationState.js';
export type { CalibrationDates, CalibrationState } from './calibrationState.js';
export { CERTIFICATE_FORMAT, certificateContent } from './certificateContent.js';
export type * from './certificateContent.js';
export type * from './certificateForces.js';
export { changeForceLimit, loosenedLimit } from './changeForceLimit.js';
export { checkGauge } from './checkGauge.js';
export type { ForceGauge, GaugeReason, GaugeReasonCode } from './checkGauge.js';
export { competenceOn } from './competenceOn.js';
export type { CompetenceKind, CompetenceRecord, CompetenceVerdict, CompetenceVerdictCode } from './competenceOn.js';
export { checksOf, deviceChecks, judgeDiagnostic, safetyDevicesOf } from './deviceChecks.js';
export type { DeviceCheck, DiagnosticLimit, SafetyDevice } from './deviceChecks.js';
export { forceFigures } from './forceFigures.js';
export type { CurveReading } from './forceFigures.js';
export {
  CONTACT_THRESHOLD_NEWTON,
  defaultForceLimits,
  DYNAMIC_THRESHOLD_NEWTON,
  forceLimitsAt,
  LEAST_GAP_MM,
  NEAR_GAP_MM,
} from './forceLimits.js';
export { forceMarks, limitLine, limitSteps, residualAfterMs, thinnedCurve } from './forceMarks.js';
export type { ForceMarks, LimitStep } from './forceMarks.js';
export { judgeForce, judgePoint, typedReading } from './judgeForce.js';
export type { ForceRefusal } from './judgeForce.js';
export { judgeForceTest, missingPoints } from './judgeForceTest.js';
export type { ForceTestVerdict, MissingPoint, PointReading } from './judgeForceTest.js';
export { measuringPoints } from './measuringPoints.js';
export type { MeasuringPoint, Opening } from './measuringPoints.js';
