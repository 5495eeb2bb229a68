export * from './chainMeasurement.js';
export * from './condition.js';
export * from './handbookLife.js';
export * from './safetyLife.js';
export * from './wearModel.js';
export * from './wearPlot.js';
