export * from './fieldName.js';
export * from './routeAnswer.js';
export * from './routeFaultText.js';
export * from './routeProblem.js';
