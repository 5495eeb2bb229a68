export * from './duty/index.js';
export * from './faults/index.js';
export * from './routes/index.js';
export * from './safety/index.js';
export * from './upkeep/index.js';
export * from './wear/index.js';
export * from './work/index.js';
export type * from './shared/quantiles.js';
export type { Interval } from './shared/interval.js';
