import type { CivilDate } from '../upkeep/types.js';

export interface PartsOfRoute {
  technicianId: string;
  on: CivilDate;
  /** Kind of part → how many the route's visits take. */
  parts: Readonly<Record<string, number>>;
}

export interface CarriedPart {
  kind: string;
  needed: number;
  /** In the van that morning, if nothing is put in: what earlier routes took is gone. */
  onVan: number;
  missing: number;
}

/**
 * What each van must carry on each of its days, against what lies in it. Parts are used up in the order of the days; what is
 * missing on one day is taken to be put in for that day alone. O(routes · kinds). Lines by kind, in the order of the routes given.
 * @param stock technician → kind → quantity.
 */
export function carriedParts(
  routes: readonly PartsOfRoute[],
  stock: ReadonlyMap<string, Readonly<Record<string, number>>>,
): CarriedPart[][] {
  const left = new Map([...stock].map(([technician, kinds]) => [technician, { ...kinds }]));
  const answers = new Map<PartsOfRoute, CarriedPart[]>();
  for (const route of [...routes].sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0))) {
    const van = left.get(route.technicianId) ?? {};
    left.set(route.technicianId, van);
    const lines = Object.keys(route.parts).sort().map((kind) => {
      const needed = route.parts[kind]!;
      const onVan = van[kind] ?? 0;
      van[kind] = Math.max(0, onVan - needed);
      return { kind, needed, onVan, missing: Math.max(0, needed - onVan) };
    });
    answers.set(route, lines);
  }
  return routes.map((route) => answers.get(route)!);
}
