export * from './calendarFeed.js';
export * from './changeVisit.js';
export * from './importTravel.js';
export * from './planVerbs.js';
export * from './publishPlan.js';
export * from './readPlan.js';
export * from './solvePlan.js';
export { askTravelServer } from './travelServer.js';
export { travelMatrix } from './travel.js';
