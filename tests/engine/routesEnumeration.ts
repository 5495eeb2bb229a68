import type { RouteProblem } from '@lintel/engine';

/** The least that any plan can cost: fewest stops without a price left out first, then the price. */
export interface Optimum {
  mustUnserved: number;
  cost: number;
}

/**
 * Full enumeration, for up to some 8 stops: every order of every set of stops on every shift by depth-first search, then
 * the best way to share the stops out among the shifts, set by set. Shares no code with the solver. Null when fixed
 * stops cannot be kept. O(shifts · (stops! · e + 3^stops)).
 */
export function enumerateOptimum(problem: RouteProblem): Optimum | null {
  const count = problem.stops.length;
  const sets = 1 << count;
  let best = new Float64Array(sets).fill(Infinity);
  best[0] = 0;
  for (const technician of problem.technicians) {
    technician.shifts.forEach((_, shift) => {
      const cheapest = cheapestOrders(problem, technician, shift);
      const joined = new Float64Array(sets).fill(Infinity);
      for (let served = 0; served < sets; served++) {
        for (let mine = served; ; mine = (mine - 1) & served) {
          const cost = best[served & ~mine]! + cheapest[mine]!;
          if (cost < joined[served]!) joined[served] = cost;
          if (mine === 0) break;
        }
      }
      best = joined;
    });
  }
  let optimum: Optimum | null = null;
  for (let served = 0; served < sets; served++) {
    const left = problem.stops.filter((_, index) => !(served & (1 << index)));
    if (best[served] === Infinity || left.some((stop) => stop.fixed)) continue;
    const mustUnserved = left.filter((stop) => stop.unservedPrice === undefined).length;
    const cost = best[served]! + left.reduce((sum, stop) => sum + (stop.unservedPrice ?? 0), 0);
    const better =
      !optimum ||
      mustUnserved < optimum.mustUnserved ||
      (mustUnserved === optimum.mustUnserved && cost < optimum.cost);
    if (better) optimum = { mustUnserved, cost };
  }
  return optimum;
}

/** By set of stops: the price of the cheapest order in which this shift can serve exactly these; 0 for none. */
function cheapestOrders(
  problem: RouteProblem,
  technician: RouteProblem['technicians'][number],
  shift: number,
): Float64Array {
  const { stops, travelMinutes } = problem;
  const travelCost = problem.travelCost ?? travelMinutes;
  const hours = technician.shifts[shift]!;
  const end = technician.end ?? technician.home;
  const cheapest = new Float64Array(1 << stops.length).fill(Infinity);
  cheapest[0] = 0;
  const goOn = (place: number, clock: number, cost: number, set: number, loads: number[]): void => {
    if (set !== 0 && clock + travelMinutes[place]![end]! <= hours.to) {
      cheapest[set] = Math.min(cheapest[set]!, cost + travelCost[place]![end]!);
    }
    stops.forEach((stop, index) => {
      if (set & (1 << index)) return;
      if (stop.fixed && (stop.fixed.technician !== technician.id || stop.fixed.shift !== shift)) return;
      if (!stop.skills.every((skill) => technician.skills.includes(skill))) return;
      const carried = loads.map((load, kind) => load + (stop.load?.[kind] ?? 0));
      if (carried.some((load, kind) => load > technician.capacity![kind]!)) return;
      const arrival = clock + travelMinutes[place]![stop.place]!;
      const starts = stop.windows.filter(({ to }) => arrival <= to).map(({ from }) => Math.max(from, arrival));
      const start = stop.windows.length === 0 ? arrival : Math.min(Infinity, ...starts);
      if (start + stop.minutes > hours.to) return;
      const late = stop.latePrice ? Math.max(0, start - stop.latePrice.after) * stop.latePrice.perMinute : 0;
      const moved = (stop.shiftPrices ?? [])
        .filter((entry) => entry.technician === technician.id && entry.shift === shift)
        .reduce((sum, entry) => sum + entry.price, 0);
      const step = travelCost[place]![stop.place]! + late + moved;
      goOn(stop.place, start + stop.minutes, cost + step, set | (1 << index), carried);
    });
  };
  goOn(technician.home, hours.from, technician.fixedCost ?? 0, 0, (technician.capacity ?? []).map(() => 0));
  return cheapest;
}
