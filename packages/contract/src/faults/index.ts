export * from './fault.js';
export * from './faultCode.js';
export * from './summary.js';
