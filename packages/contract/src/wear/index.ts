export * from './condition.js';
export * from './wearModel.js';
export * from './wearPlot.js';
