export type * from './types.js';
export type * from './steps.js';
export { applyWorkCommand, plannedOrder } from './applyWorkCommand.js';
export { checkStep, MOST_TEXT } from './checkStep.js';
export type { StepRefusal, StepRefusalCode } from './checkStep.js';
export { isSafetyCheck } from './steps.js';
export { commandsIn, workMoves } from './workMoves.js';
