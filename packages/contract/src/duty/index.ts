export * from './duty.js';
export * from './import.js';
export * from './reading.js';
export * from './verdict.js';
