export * from './chain.js';
export * from './entry.js';
