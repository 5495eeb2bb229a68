export type * from './types.js';
export { civilDateAt } from './civilDateAt.js';
export { formatCivilDate, parseCivilDate } from './civilDate.js';
export { nextDue } from './nextDue.js';
export type { DueContext } from './nextDue.js';
