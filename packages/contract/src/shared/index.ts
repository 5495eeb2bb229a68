export * from './fields.js';
export * from './list.js';
export * from './problem.js';
