import {
  type MovePrices, type PlanDifference, type PlanProblem, type PlanPublished, type ReplanCreate, type RoutePlan, type RoutePlanAsked, type RoutePlanCreate,
  type RoutePlanDetail, type VisitMove,
} from '@lintel/contract';
import {
  createPlan, decidePlan, instantOfDate, lockVisit, moveChoices, moveVisit, openPlan, planDifferenceOf, publishPlan, replanPlan, routesOfPlan, visitsOfPlan, withMissingStock,
  type MoveRefusal, type Store, type VisitOfPlan,
} from '@lintel/store';
import { Inject, Injectable } from '@nestjs/common';
import { cancelRun } from '../jobs/cancelRun.js';
import type { Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';
import { notFound, Refusal } from '../platform/refusal.js';
import type { Row } from '../platform/resource/definition.js';
import { Reader } from '../platform/resource/reader.js';
import { stale, Writer } from '../platform/resource/writer.js';
import { routePlans } from './definitions.js';

const words = {
  'wrong-state': 'The plan is not in a state in which that can be done.',
  'published-already': 'This plan is published already.',
  overlaps: 'Another published plan has some of these days: make that one again, or wait until it is over.',
  'no-such-place': 'There is no such technician, day or place in this plan.',
  kept: 'This visit is locked or has begun: unlock it first.',
} as const;

@Injectable()
export class RoutePlansService {
  constructor(
    @Inject(STORE) private readonly store: Store,
    @Inject(Reader) private readonly reader: Reader,
    @Inject(Writer) private readonly writer: Writer,
  ) {}

  create({ context }: Caller, given: RoutePlanCreate): Promise<RoutePlanAsked> {
    return this.store.withCompanySql(context, (client) => createPlan(client, context, given));
  }

  async replan(caller: Caller, id: string, version: number | null, given: ReplanCreate): Promise<RoutePlanAsked> {
    const { context } = caller;
    const today = new Date().toISOString().slice(0, 10);
    const asked = await this.store.withCompanySql(context, (client) => replanPlan(client, context, id, { ...given, today, version }));
    return typeof asked === 'string' ? this.refuse(caller, id, asked) : asked;
  }

  async detail(caller: Caller, id: string): Promise<RoutePlanDetail> {
    const { companyId } = caller.context;
    const plan = (await this.reader.one(routePlans, caller, id)) as unknown as RoutePlan;
    return this.store.withCompanySql(caller.context, async (client) => {
      const visitList = await visitsOfPlan(client, companyId, id);
      const routes = await routesOfPlan(client, companyId, id, visitList);
      return { ...plan, notices: withMissingStock(plan.notices, routes), visitList, routes };
    });
  }

  async difference(caller: Caller, id: string): Promise<PlanDifference> {
    const found = await this.store.withCompanySql(caller.context, (client) => planDifferenceOf(client, caller.context.companyId, id));
    return found ?? Promise.reject(notFound(routePlans.subject));
  }

  async problem(caller: Caller, id: string): Promise<PlanProblem> {
    const plan = (await this.reader.one(routePlans, caller, id)) as unknown as RoutePlan;
    const { kept, routes } = await this.opened(caller, id);
    return { problem: kept.problem, zeroAt: instantOfDate(plan.fromOn), shiftDays: kept.shiftDays, routes: routes.map((route) => ({ ...route, stops: [...route.stops] })) };
  }

  async moves(caller: Caller, id: string, visitId: string): Promise<MovePrices> {
    const open = await this.opened(caller, id);
    const choices = moveChoices(open, visitId);
    if (choices === null) throw notFound('visit');
    const dayOf = (technician: string | null, shift: number | null) =>
      open.kept.shiftDays.find(({ technicianId }) => technicianId === technician)?.days[shift ?? -1] ?? null;
    return {
      visitId,
      places: choices.map(({ technician, shift, position, difference, breaches }) => ({
        technicianId: technician, onDate: dayOf(technician, shift), shift, position, difference,
        breaches: breaches.map(({ kind, stop, excess }) => ({ kind, visitId: stop ?? null, excess })),
      })),
    };
  }

  async move(caller: Caller, at: VisitOfPlan, move: VisitMove): Promise<RoutePlanDetail> {
    const { context } = caller;
    const done = await this.store.withCompanySql(context, (client) => moveVisit(client, context, at, move));
    return done === 'done' ? this.detail(caller, at.planId) : this.refuse(caller, at.planId, done);
  }

  async lock(caller: Caller, at: VisitOfPlan, locked: boolean): Promise<RoutePlanDetail> {
    const { context } = caller;
    const done = await this.store.withCompanySql(context, (client) => lockVisit(client, context, at, locked));
    return done === 'done' ? this.detail(caller, at.planId) : this.refuse(caller, at.planId, done);
  }

  async decide(caller: Caller, id: string, deed: 'accept' | 'discard', version: number | null): Promise<RoutePlanDetail> {
    const { context } = caller;
    const done = await this.store.withCompanySql(context, (client) => decidePlan(client, context, id, deed, version));
    return done === 'done' ? this.detail(caller, id) : this.refuse(caller, id, done);
  }

  async publish(caller: Caller, id: string, version: number | null): Promise<PlanPublished> {
    const { context } = caller;
    const done = await this.store.withCompanySql(context, (client) => publishPlan(client, context, id, version));
    return typeof done === 'string' ? this.refuse(caller, id, done) : done;
  }

  /** A search that runs ends with its best plan as a draft; one that has not begun is taken back. */
  async cancel(caller: Caller, id: string, version: number | null): Promise<RoutePlanDetail> {
    const plan = (await this.reader.one(routePlans, caller, id)) as unknown as RoutePlan;
    if (version !== null && plan.version !== version) throw stale(plan as unknown as Row);
    if (plan.state !== 'waiting' && plan.state !== 'solving') throw new Refusal('conflict', words['wrong-state']);
    await this.writer.inCompany(caller.context, async (db) => {
      await cancelRun(db, caller.context, { id: plan.jobId!, job: 'plan-routes', payload: { planId: id } });
      await db.routePlan.updateMany({ where: { id, state: 'waiting' }, data: { state: 'discarded', version: { increment: 1 } } });
    });
    return this.detail(caller, id);
  }

  private async opened(caller: Caller, id: string) {
    const open = await this.store.withCompanySql(caller.context, (client) => openPlan(client, caller.context.companyId, id));
    return open ?? Promise.reject(notFound(routePlans.subject));
  }

  private async refuse(caller: Caller, id: string, why: MoveRefusal): Promise<never> {
    if (typeof why === 'object') {
      const kinds = [...new Set(why.breaches.map(({ kind }) => kind))].join(', ');
      throw new Refusal('conflict', `The visit cannot be there: ${kinds}.`, { errors: why.breaches.map(({ kind, excess }) => ({ field: kind, message: `by ${Math.round(excess)}` })) });
    }
    if (why === 'not-there') throw notFound(routePlans.subject);
    if (why === 'no-such-visit') throw notFound('visit');
    if (why === 'changed-meanwhile') throw stale(await this.reader.one(routePlans, caller, id));
    throw new Refusal('conflict', words[why]);
  }
}
