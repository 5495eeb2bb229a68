export * from './command.js';
export * from './deviceState.js';
export * from './finding.js';
export * from './image.js';
export * from './manual.js';
export * from './order.js';
export * from './step.js';
export * from './words.js';
