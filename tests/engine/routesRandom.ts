import type { RouteProblem, RouteStop } from '@lintel/engine';

/** Park and Miller's minimal generator: the tests draw from one of their own, not from the engine's. */
export function draws(seed: number): (below: number) => number {
  let state = (seed % 2147483646) + 1;
  return (below) => {
    state = (state * 48271) % 2147483647;
    return state % below;
  };
}

export interface RandomShape {
  stops: number;
  technicians: number;
  days: number;
  places: number;
  /** Per cent of the stops with a price for being left out, for being late, with skills, and fixed. */
  pricedPercent: number;
  latePercent: number;
  skilledPercent: number;
  fixedPercent: number;
  fixedCost: number;
}

/**
 * A problem with whole numbers: asymmetric minutes that need not obey the triangle inequality, a cost matrix of its own,
 * shifts on several days, none, one or several windows a stop, two kinds of load.
 */
export function randomProblem(seed: number, shape: RandomShape): RouteProblem {
  const draw = draws(seed);
  const matrix = (most: number): number[][] =>
    Array.from({ length: shape.places }, (_, from) =>
      Array.from({ length: shape.places }, (_, to) => (from === to ? 0 : 1 + draw(most))),
    );
  const travelMinutes = matrix(40);
  const travelCost = matrix(60);
  const technicians = Array.from({ length: shape.technicians }, (_, index) => ({
    id: `technician ${index}`,
    home: draw(shape.places),
    ...(draw(3) === 0 ? { end: draw(shape.places) } : {}),
    skills: ['ammonia', 'mains'].filter(() => draw(2) === 0),
    capacity: [20 + draw(20), 20 + draw(30)],
    shifts: Array.from({ length: shape.days }, (_, day) => ({ from: day * 500, to: day * 500 + 150 + draw(150) })),
    fixedCost: draw(2) * shape.fixedCost,
  }));
  const stops = Array.from({ length: shape.stops }, (_, index): RouteStop => {
    const technician = technicians[draw(technicians.length)]!;
    const shift = draw(shape.days);
    const chance = (percent: number): boolean => draw(100) < percent;
    const windows = Array.from({ length: draw(4) }, () => {
      const from = draw(shape.days) * 500 + draw(200);
      return { from, to: from + draw(120) };
    });
    return {
      id: `stop ${index}`,
      place: draw(shape.places),
      minutes: 5 + draw(40),
      skills: ['ammonia', 'mains'].filter(() => chance(shape.skilledPercent)),
      load: [draw(12), draw(12)],
      windows,
      ...(chance(shape.latePercent)
        ? { latePrice: { after: draw(shape.days * 500), perMinute: draw(8) / 8 } }
        : {}),
      ...(chance(shape.pricedPercent) ? { unservedPrice: draw(150) } : {}),
      ...(chance(shape.fixedPercent) ? { fixed: { technician: technician.id, shift } } : {}),
      ...(chance(20) ? { shiftPrices: [{ technician: technician.id, shift, price: draw(50) }] } : {}),
    };
  });
  return { travelMinutes, travelCost, technicians, stops };
}
