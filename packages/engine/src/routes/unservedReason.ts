import { hasSkills } from './model.js';
import type { PlanState } from './planState.js';
import type { UnservedReason } from './types.js';

/**
 * Why a stop is left out of a finished plan. First what would keep it out of an empty plan (nobody has the skills, no
 * van carries it, no shift is long enough, no shift meets its windows), then what keeps it out of this one: it would
 * fit, at more than its price; it would fit at another hour; the vans are full; the shifts are.
 * O(routes + stops).
 */
export function unservedReason(state: PlanState, stop: number): UnservedReason {
  const { model } = state;
  const all = Array.from({ length: model.routeCount }, (_, route) => route);
  const pinned = model.pinnedRoute[stop]!;
  const mine = pinned < 0 ? all : [pinned];
  const skilled = model.problem.technicians.some((_, technician) => hasSkills(model.problem, stop, technician));
  const mayDrive = mine.filter((route) => hasSkills(model.problem, stop, model.technicianOf[route]!));
  if (mayDrive.length === 0) return skilled && pinned < 0 ? 'no-hours' : 'no-skill';
  const mayCarry = mayDrive.filter((route) => loadFits(state, stop, route, false));
  if (mayCarry.length === 0) return 'load';
  const fitsNow = (route: number): boolean => fits(state, stop, route, true);
  const hasRoom = mayCarry.filter((route) => loadFits(state, stop, route, true));
  if (hasRoom.some(fitsNow)) return 'price';
  const alone = mayCarry.some((route) => fitsAlone(state, stop, route, true));
  if (!alone) return mayCarry.some((route) => fitsAlone(state, stop, route, false)) ? 'window' : 'no-hours';
  if (hasRoom.some((route) => fits(state, stop, route, false))) return 'window';
  return mayCarry.some(fitsNow) ? 'load' : 'no-hours';
}

function loadFits(state: PlanState, stop: number, route: number, besideOthers: boolean): boolean {
  const { loadKinds, load, capacity } = state.model;
  for (let kind = 0; kind < loadKinds; kind++) {
    const carried = besideOthers ? state.carried[route * loadKinds + kind]! : 0;
    if (carried + load[stop * loadKinds + kind]! > capacity[route * loadKinds + kind]!) return false;
  }
  return true;
}

function fits(state: PlanState, stop: number, route: number, withinWindows: boolean): boolean {
  const end = state.endOf(route);
  for (let node = state.startOf(route); node !== end; node = state.next[node]!) {
    const following = state.next[node]!;
    const free = freeAgain(state, state.leave[node]! + state.minutesBetween(node, stop), stop, withinWindows);
    if (free + state.minutesBetween(stop, following) <= state.latest[following]!) return true;
  }
  return false;
}

function fitsAlone(state: PlanState, stop: number, route: number, withinWindows: boolean): boolean {
  const { opens, closes } = state.model;
  const start = state.startOf(route);
  const end = state.endOf(route);
  const free = freeAgain(state, opens[start]! + state.minutesBetween(start, stop), stop, withinWindows);
  return free + state.minutesBetween(stop, end) <= closes[end]!;
}

/** When one who arrives then can leave the stop. */
function freeAgain(state: PlanState, arrival: number, stop: number, withinWindows: boolean): number {
  return (withinWindows ? state.firstStart(stop, arrival) : arrival) + state.model.service[stop]!;
}
