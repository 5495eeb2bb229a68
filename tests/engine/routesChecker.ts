import type { RoutePlan, RouteProblem } from '@lintel/engine';

/** Minutes or money by which sums of doubles may differ from what is printed. */
const ROUNDING = 1e-6;

type Technician = RouteProblem['technicians'][number];
type Route = RoutePlan['routes'][number];

/**
 * Drives a printed plan by the wording of the problem alone and lists what is wrong with it; empty for a plan that can be
 * driven and costs what it says. Shares no code with the solver: only the types of the words come from there.
 */
export function checkPlan(problem: RouteProblem, plan: RoutePlan): string[] {
  const wrong: string[] = [];
  const seen = new Map<string, string>();
  const driven = new Set<string>();
  let travel = 0;
  let other = 0;
  for (const route of plan.routes) {
    const name = `${route.technician}/${route.shift}`;
    if (driven.has(name)) wrong.push(`${name} is driven twice`);
    driven.add(name);
    if (route.stops.length === 0) wrong.push(`${name} is listed without a stop`);
    const technician = problem.technicians.find(({ id }) => id === route.technician);
    if (!technician || !technician.shifts[route.shift]) {
      wrong.push(`${name} does not exist`);
      continue;
    }
    for (const { id } of route.stops) {
      if (seen.has(id)) wrong.push(`${id} is served by ${seen.get(id)} and by ${name}`);
      seen.set(id, name);
    }
    other += technician.fixedCost ?? 0;
    const driving = driveRoute(problem, technician, route, wrong);
    travel += driving.travel;
    other += driving.late + driving.shift;
  }
  for (const { id } of plan.unserved) {
    const stop = problem.stops.find((candidate) => candidate.id === id);
    if (!stop) wrong.push(`unserved ${id} does not exist`);
    if (seen.has(id)) wrong.push(`${id} is served and unserved`);
    if (stop?.fixed) wrong.push(`fixed ${id} is not served`);
    seen.set(id, 'unserved');
    other += stop?.unservedPrice ?? 0;
  }
  for (const { id } of problem.stops) if (!seen.has(id)) wrong.push(`${id} is lost`);
  if (Math.abs(plan.travel - travel) > ROUNDING) wrong.push(`travel is ${travel}, not ${plan.travel}`);
  if (Math.abs(plan.cost - travel - other) > ROUNDING) wrong.push(`cost is ${travel + other}, not ${plan.cost}`);
  return wrong;
}

function driveRoute(
  problem: RouteProblem,
  technician: Technician,
  route: Route,
  wrong: string[],
): { travel: number; late: number; shift: number } {
  const name = `${route.technician}/${route.shift}`;
  const hours = technician.shifts[route.shift]!;
  const carried = (technician.capacity ?? []).map(() => 0);
  const sum = { travel: 0, late: 0, shift: 0 };
  let at = technician.home;
  let clock = hours.from;
  for (const { id, arrive, start, leave } of route.stops) {
    const stop = problem.stops.find((candidate) => candidate.id === id);
    if (!stop) {
      wrong.push(`${name} serves ${id}, which does not exist`);
      continue;
    }
    sum.travel += (problem.travelCost ?? problem.travelMinutes)[at]![stop.place]!;
    if (arrive < clock + problem.travelMinutes[at]![stop.place]! - ROUNDING) wrong.push(`${id} is reached too soon`);
    if (start < arrive - ROUNDING) wrong.push(`${id} starts before arrival`);
    if (Math.abs(leave - start - stop.minutes) > ROUNDING) wrong.push(`${id} is left after ${leave - start} minutes`);
    const open = stop.windows.some(({ from, to }) => start >= from - ROUNDING && start <= to + ROUNDING);
    if (stop.windows.length > 0 && !open) wrong.push(`${id} starts at ${start}, outside its windows`);
    if (stop.skills.some((skill) => !technician.skills.includes(skill))) wrong.push(`${id} needs other skills`);
    if (stop.fixed && (stop.fixed.technician !== route.technician || stop.fixed.shift !== route.shift)) {
      wrong.push(`fixed ${id} was moved to ${name}`);
    }
    if (stop.latePrice && start > stop.latePrice.after) {
      sum.late += (start - stop.latePrice.after) * stop.latePrice.perMinute;
    }
    for (const entry of stop.shiftPrices ?? []) {
      if (entry.technician === route.technician && entry.shift === route.shift) sum.shift += entry.price;
    }
    carried.forEach((_, kind) => (carried[kind]! += stop.load?.[kind] ?? 0));
    at = stop.place;
    clock = leave;
  }
  const end = technician.end ?? technician.home;
  sum.travel += (problem.travelCost ?? problem.travelMinutes)[at]![end]!;
  if (route.end < clock + problem.travelMinutes[at]![end]! - ROUNDING) wrong.push(`${name} is home too soon`);
  if (route.end > hours.to + ROUNDING) wrong.push(`${name} ends at ${route.end}, after ${hours.to}`);
  carried.forEach((amount, kind) => {
    if (amount > technician.capacity![kind]!) wrong.push(`${name} carries ${amount} of kind ${kind}`);
  });
  return sum;
}
