export type * from './types.js';
export { chanceReached } from './chanceReached.js';
export { cyclesAhead } from './cyclesAhead.js';
export { HORIZON_DAYS } from './cycleSpread.js';
export { daysUntil } from './daysUntil.js';
export { dutyNodes } from './dutyNodes.js';
export type { DutyNodes } from './dutyNodes.js';
export { estimateDuty } from './estimateDuty.js';
export { DEFAULT_PRIOR, peerPrior } from './peerPrior.js';
