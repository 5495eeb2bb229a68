export * from './fieldName.js';
export * from './routeAnswer.js';
export * from './routeFaultText.js';
export * from './routeProblem.js';
export * from './technician.js';
export * from './routePlan.js';
export * from './planVerbs.js';
export * from './mapSettings.js';
