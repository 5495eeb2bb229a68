export * from './condition.js';
export * from './safetyLife.js';
export * from './wearModel.js';
export * from './wearPlot.js';
