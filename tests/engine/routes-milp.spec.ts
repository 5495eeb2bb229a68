import { solveRoutes } from '@lintel/engine';
import type { RouteProblem } from '@lintel/engine';
import loadHighs from 'highs';
import { expect, test } from 'vitest';
import { checkPlan } from './routesChecker.js';
import type { RandomShape } from './routesRandom.js';
import { randomProblem } from './routesRandom.js';

const shape: RandomShape = {
  stops: 5,
  technicians: 2,
  days: 2,
  places: 7,
  pricedPercent: 100,
  latePercent: 40,
  skilledPercent: 15,
  fixedPercent: 10,
  fixedCost: 40,
};

/**
 * The same problem as a mixed-integer program (three-index arc model with big-M times), in CPLEX LP format for the open
 * solver HiGHS. y: stop on route; x: arc on route; z: stop unserved; w: stop in window; t: start; v: minutes late.
 */
function asProgram(problem: RouteProblem): string {
  const routes = problem.technicians.flatMap((technician) =>
    technician.shifts.map((hours, shift) => ({ technician, hours, shift, end: technician.end ?? technician.home })),
  );
  const { stops, travelMinutes } = problem;
  const travelCost = problem.travelCost ?? travelMinutes;
  const M = 5000;
  const prices: string[] = [];
  const rules: string[] = [];
  const binaries: string[] = [];
  const choose = (name: string, price = 0): string => {
    binaries.push(name);
    if (price !== 0) prices.push(`${price} ${name}`);
    return name;
  };
  stops.forEach((stop, i) => {
    choose(`z${i}`, stop.unservedPrice ?? 0);
    if (stop.fixed) rules.push(`z${i} = 0`);
    const late = stop.latePrice;
    if (late) {
      prices.push(`${late.perMinute} v${i}`);
      rules.push(`v${i} - t${i} >= ${-late.after}`);
    }
    stop.windows.forEach(({ from, to }, w) => {
      choose(`w${i}_${w}`);
      rules.push(`t${i} - ${M} w${i}_${w} >= ${from - M}`, `t${i} + ${M} w${i}_${w} <= ${to + M}`);
    });
    if (stop.windows.length > 0) rules.push(`${stop.windows.map((_, w) => `w${i}_${w}`).join(' + ')} + z${i} = 1`);
    rules.push(`${routes.map((_, r) => `y${i}_${r}`).join(' + ')} + z${i} = 1`);
  });
  routes.forEach(({ technician, hours, shift, end }, r) => {
    const out = stops.map((stop, i) => choose(`s${i}_${r}`, travelCost[technician.home]![stop.place]! + (technician.fixedCost ?? 0)));
    rules.push(`${out.join(' + ')} <= 1`);
    stops.forEach((stop, i) => {
      const moved = (stop.shiftPrices ?? []).filter((p) => p.technician === technician.id && p.shift === shift);
      choose(`y${i}_${r}`, moved.reduce((sum, { price }) => sum + price, 0));
      choose(`e${i}_${r}`, travelCost[stop.place]![end]!);
      const elsewhere = stop.fixed && (stop.fixed.technician !== technician.id || stop.fixed.shift !== shift);
      if (elsewhere || !stop.skills.every((skill) => technician.skills.includes(skill))) rules.push(`y${i}_${r} = 0`);
      const others = stops.map((_, j) => j).filter((j) => j !== i);
      for (const j of others) choose(`x${i}_${j}_${r}`, travelCost[stop.place]![stops[j]!.place]!);
      rules.push(`${[`e${i}_${r}`, ...others.map((j) => `x${i}_${j}_${r}`)].join(' + ')} - y${i}_${r} = 0`);
      rules.push(`${[`s${i}_${r}`, ...others.map((j) => `x${j}_${i}_${r}`)].join(' + ')} - y${i}_${r} = 0`);
      const first = hours.from + travelMinutes[technician.home]![stop.place]!;
      rules.push(`t${i} - ${M} s${i}_${r} >= ${first - M}`);
      const last = hours.to - stop.minutes - travelMinutes[stop.place]![end]!;
      rules.push(`t${i} + ${M} e${i}_${r} <= ${last + M}`);
      for (const j of others) {
        const step = stop.minutes + travelMinutes[stop.place]![stops[j]!.place]!;
        rules.push(`t${j} - t${i} - ${M} x${i}_${j}_${r} >= ${step - M}`);
      }
    });
    technician.capacity?.forEach((room, kind) => {
      const loads = stops.map((stop, i) => `${stop.load?.[kind] ?? 0} y${i}_${r}`).join(' + ');
      rules.push(`${loads} <= ${room}`);
    });
  });
  const lines = rules.map((rule, at) => ` c${at}: ${rule}`).join('\n');
  const times = stops.map((_, i) => ` 0 <= t${i} <= 2000\n 0 <= v${i} <= 2000`).join('\n');
  return `Minimize\n cost: ${prices.join(' + ')}\nSubject To\n${lines}\nBounds\n${times}\nBinary\n ${binaries.join('\n ')}\nEnd\n`;
}

test('random problems: as cheap as the optimum of the mixed-integer program', async () => {
  const highs = await loadHighs();
  let compared = 0;
  for (let seed = 1; seed <= 8; seed++) {
    const problem = randomProblem(seed, shape);
    const found = solveRoutes(problem, { seed, budget: { iterations: 5000 } });
    const optimum = highs.solve(asProgram(problem), { output_flag: false, mip_rel_gap: 0 });
    if (optimum.Status === 'Infeasible') {
      expect('faults' in found && found.faults[0]?.code, `seed ${seed}`).toBe('fixed-cannot-be-kept');
      continue;
    }
    expect(optimum.Status).toBe('Optimal');
    if ('faults' in found) throw new Error(`seed ${seed}: ${JSON.stringify(found.faults)}`);
    expect(checkPlan(problem, found), `seed ${seed}`).toEqual([]);
    expect(found.cost, `seed ${seed}`).toBeCloseTo(optimum.ObjectiveValue, 4);
    compared++;
  }
  expect(compared).toBeGreaterThan(4);
});
