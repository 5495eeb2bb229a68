export * from './forceCurve.js';
export * from './forceLimitTable.js';
export * from './readForceFile.js';
