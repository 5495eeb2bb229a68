import type { RouteModel } from './model.js';
import type { PlanState } from './planState.js';

/** Copies of the routes touched since `begin`, in buffers made once. */
export class SavedRoutes {
  private readonly routes: Int32Array;
  private readonly nodes: Int32Array;
  private readonly leave: Float64Array;
  private readonly latest: Float64Array;
  private readonly step: Float64Array;
  private readonly length: Int32Array;
  private readonly numbers: Float64Array;
  private readonly load: Float64Array;
  private readonly keptIn: Float64Array;
  private readonly absent: Int32Array;
  private absentCount = 0;
  private turn = 0;
  private routeCount = 0;
  private nodeCount = 0;
  private total = 0;

  constructor(private readonly model: RouteModel) {
    const { stopCount, routeCount, loadKinds } = model;
    this.routes = new Int32Array(routeCount);
    this.nodes = new Int32Array(stopCount + routeCount);
    this.leave = new Float64Array(stopCount + routeCount);
    this.latest = new Float64Array(stopCount + routeCount);
    this.step = new Float64Array(stopCount + routeCount);
    this.length = new Int32Array(routeCount);
    this.numbers = new Float64Array(routeCount * 3);
    this.load = new Float64Array(routeCount * loadKinds);
    this.keptIn = new Float64Array(routeCount);
    this.absent = new Int32Array(stopCount);
  }

  begin(state: PlanState): void {
    this.turn++;
    this.routeCount = 0;
    this.nodeCount = 0;
    this.total = state.total;
    this.absentCount = state.absentCount;
    for (let at = 0; at < state.absentCount; at++) this.absent[at] = state.absent[at]!;
  }

  keep(state: PlanState, route: number): void {
    if (this.keptIn[route] === this.turn) return;
    this.keptIn[route] = this.turn;
    const slot = this.routeCount++;
    this.routes[slot] = route;
    this.length[slot] = state.length[route]!;
    this.numbers[slot * 3] = state.routeCost[route]!;
    this.numbers[slot * 3 + 1] = state.lateWeight[route]!;
    this.numbers[slot * 3 + 2] = state.version[route]!;
    const kinds = this.model.loadKinds;
    for (let kind = 0; kind < kinds; kind++) this.load[slot * kinds + kind] = state.carried[route * kinds + kind]!;
    const end = state.endOf(route);
    for (let node = state.startOf(route); node !== end; node = state.next[node]!) {
      const at = this.nodeCount++;
      this.nodes[at] = node;
      this.leave[at] = state.leave[node]!;
      this.latest[at] = state.latest[node]!;
      this.step[at] = state.step[node]!;
    }
  }

  restore(state: PlanState): void {
    const kinds = this.model.loadKinds;
    state.absentCount = 0;
    // What is left out now but was not before is overwritten by its route below.
    for (let at = 0; at < this.absentCount; at++) {
      const stop = this.absent[at]!;
      state.routeOf[stop] = -1;
      state.markAbsent(stop);
    }
    let at = 0;
    for (let slot = 0; slot < this.routeCount; slot++) {
      const route = this.routes[slot]!;
      const numbers = slot * 3;
      state.restoreRoute(
        route,
        this.length[slot]!,
        this.numbers[numbers]!,
        this.numbers[numbers + 1]!,
        this.numbers[numbers + 2]!,
      );
      for (let kind = 0; kind < kinds; kind++) state.carried[route * kinds + kind] = this.load[slot * kinds + kind]!;
      let earlier = -1;
      for (let count = this.length[slot]!; count >= 0; count--, at++) {
        const node = this.nodes[at]!;
        state.leave[node] = this.leave[at]!;
        state.latest[node] = this.latest[at]!;
        state.step[node] = this.step[at]!;
        if (earlier >= 0) {
          state.link(earlier, node);
          state.routeOf[node] = route;
        }
        earlier = node;
      }
      state.link(earlier, state.endOf(route));
      state.settleDelays(route);
    }
    state.total = this.total;
  }
}
