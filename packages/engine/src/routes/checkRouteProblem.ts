import type { RouteFault, RouteProblem, RouteSlot, RouteSpan } from './types.js';

/** Above this many (stop, route) pairs the tables of the search would not fit into an ordinary machine's memory. */
export const MOST_STOP_ROUTE_PAIRS = 8_000_000;

type Path = (string | number)[];

/**
 * What is wrong with a routing problem, field by field; empty when it can be solved. Shapes are taken as typed: this
 * looks at what a type cannot say (a square matrix, a place that exists, a span that is not turned round).
 * O(places² + stops + shifts).
 */
export function checkRouteProblem(problem: RouteProblem): RouteFault[] {
  const faults: RouteFault[] = [];
  const places = problem.travelMinutes.length;
  checkMatrix(problem.travelMinutes, places, 'travelMinutes', faults);
  if (problem.travelCost) checkMatrix(problem.travelCost, places, 'travelCost', faults);
  checkTechnicians(problem, places, faults);
  checkStops(problem, places, faults);
  const routes = problem.technicians.reduce((count, technician) => count + technician.shifts.length, 0);
  if (routes * problem.stops.length > MOST_STOP_ROUTE_PAIRS) {
    faults.push({ path: ['stops'], code: 'too-large', facts: { stops: problem.stops.length, routes } });
  }
  return faults;
}

function checkMatrix(
  matrix: readonly (readonly number[])[],
  places: number,
  name: string,
  faults: RouteFault[],
): void {
  if (matrix.length !== places) {
    faults.push({ path: [name], code: 'not-square', facts: { rows: matrix.length, expected: places } });
  }
  matrix.forEach((row, from) => {
    if (row.length !== places) {
      faults.push({ path: [name, from], code: 'not-square', facts: { columns: row.length, expected: places } });
    }
    row.forEach((value, to) => checkAmount(value, [name, from, to], faults));
  });
}

function checkTechnicians(problem: RouteProblem, places: number, faults: RouteFault[]): void {
  const seen = new Map<string, number>();
  const dimensions = loadDimensions(problem);
  problem.technicians.forEach((technician, index) => {
    const path: Path = ['technicians', index];
    checkId(technician.id, path, seen, faults);
    checkPlace(technician.home, [...path, 'home'], places, faults);
    if (technician.end !== undefined) checkPlace(technician.end, [...path, 'end'], places, faults);
    checkVector(technician.capacity, [...path, 'capacity'], dimensions, faults);
    technician.shifts.forEach((shift, at) => checkSpan(shift, [...path, 'shifts', at], faults));
    if (technician.fixedCost !== undefined) checkAmount(technician.fixedCost, [...path, 'fixedCost'], faults);
  });
}

function checkStops(problem: RouteProblem, places: number, faults: RouteFault[]): void {
  const seen = new Map<string, number>();
  const dimensions = loadDimensions(problem);
  problem.stops.forEach((stop, index) => {
    const path: Path = ['stops', index];
    checkId(stop.id, path, seen, faults);
    checkPlace(stop.place, [...path, 'place'], places, faults);
    checkAmount(stop.minutes, [...path, 'minutes'], faults);
    checkVector(stop.load, [...path, 'load'], dimensions, faults);
    stop.windows.forEach((window, at) => checkSpan(window, [...path, 'windows', at], faults));
    if (stop.latePrice) {
      checkFinite(stop.latePrice.after, [...path, 'latePrice', 'after'], faults);
      checkAmount(stop.latePrice.perMinute, [...path, 'latePrice', 'perMinute'], faults);
    }
    if (stop.unservedPrice !== undefined) checkAmount(stop.unservedPrice, [...path, 'unservedPrice'], faults);
    if (stop.fixed) checkSlot(stop.fixed, [...path, 'fixed'], problem, faults);
    stop.shiftPrices?.forEach((entry, at) => {
      checkSlot(entry, [...path, 'shiftPrices', at], problem, faults);
      checkAmount(entry.price, [...path, 'shiftPrices', at, 'price'], faults);
    });
  });
}

/** How many kinds of load the first vector that is given has; every other one must have as many. */
function loadDimensions(problem: RouteProblem): number | undefined {
  const capacity = problem.technicians.find((technician) => technician.capacity)?.capacity;
  return (capacity ?? problem.stops.find((stop) => stop.load)?.load)?.length;
}

function checkVector(
  vector: readonly number[] | undefined,
  path: Path,
  dimensions: number | undefined,
  faults: RouteFault[],
): void {
  if (!vector) return;
  if (dimensions !== undefined && vector.length !== dimensions) {
    faults.push({ path, code: 'length-differs', facts: { length: vector.length, expected: dimensions } });
  }
  vector.forEach((value, at) => checkAmount(value, [...path, at], faults));
}

function checkId(id: string, path: Path, seen: Map<string, number>, faults: RouteFault[]): void {
  const first = seen.get(id);
  if (first === undefined) seen.set(id, path[1] as number);
  else faults.push({ path: [...path, 'id'], code: 'duplicate-id', facts: { id, first } });
}

function checkPlace(place: number, path: Path, places: number, faults: RouteFault[]): void {
  if (!Number.isInteger(place) || place < 0 || place >= places) {
    faults.push({ path, code: 'no-such-place', facts: { place, places } });
  }
}

function checkSpan(span: RouteSpan, path: Path, faults: RouteFault[]): void {
  checkFinite(span.from, [...path, 'from'], faults);
  checkFinite(span.to, [...path, 'to'], faults);
  if (span.from > span.to) {
    faults.push({ path: [...path, 'from'], code: 'from-after-to', facts: { from: span.from, to: span.to } });
  }
}

function checkSlot(slot: RouteSlot, path: Path, problem: RouteProblem, faults: RouteFault[]): void {
  const technician = problem.technicians.find((candidate) => candidate.id === slot.technician);
  if (!technician) {
    faults.push({
      path: [...path, 'technician'],
      code: 'no-such-technician',
      facts: { technician: slot.technician },
    });
  } else if (!technician.shifts[slot.shift]) {
    const facts = { shift: slot.shift, shifts: technician.shifts.length };
    faults.push({ path: [...path, 'shift'], code: 'no-such-shift', facts });
  }
}

function checkFinite(value: number, path: Path, faults: RouteFault[]): void {
  if (!Number.isFinite(value)) faults.push({ path, code: 'not-finite', facts: { value: String(value) } });
}

function checkAmount(value: number, path: Path, faults: RouteFault[]): void {
  if (!Number.isFinite(value)) checkFinite(value, path, faults);
  else if (value < 0) faults.push({ path, code: 'negative', facts: { value } });
}
