export type * from './types.js';
export { checkRouteProblem } from './checkRouteProblem.js';
export { routeSlices, solveRoutes } from './solveRoutes.js';
export type { RouteBudget, RouteProgress, RouteSearchOptions, RouteSolution } from './solveRoutes.js';
export { pricePlan } from './pricePlan.js';
export type { PlanBreach, PricedPlan } from './pricePlan.js';
