export * from './checklistFaults.js';
export * from './completion.js';
export * from './dueItem.js';
export * from './outlook.js';
export * from './plan.js';
export * from './task.js';
