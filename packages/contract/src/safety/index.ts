export * from './competence.js';
export * from './compliance.js';
export * from './forceCurve.js';
export * from './forceLimitsInUse.js';
export * from './forceLimitTable.js';
export * from './instrument.js';
export * from './readForceFile.js';
export * from './certificate.js';
