import type {
  FindingChange, FindingCreate, TechnicianCommand, WholeWorkOrder, WorkOrderChange, WorkOrderCreate, WorkOrderResults,
} from '@lintel/contract';
import {
  addFinding, cancelOrder, changeFinding, changeOrder, createOrders, releaseOrders, reviewOrder, workAtDesk,
  type DeskResult, type Refused, type Sender, type Store,
} from '@lintel/store';
import { Inject, Injectable } from '@nestjs/common';
import type { Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';
import { notFound } from '../platform/refusal.js';
import type { ReadDefinition, Row } from '../platform/resource/definition.js';
import { Reader } from '../platform/resource/reader.js';
import { stale } from '../platform/resource/writer.js';
import { findings, workOrders } from './definitions.js';
import { workRefusal } from './refusals.js';
import { wholeOrders } from './wholeOrders.js';

export const senderOf = ({ context, accountId, role }: Caller): Sender => ({ context, accountId, planner: role !== 'technician' });

/** Orders and findings at a desk: asks the store, answers how it stands after. */
@Injectable()
export class WorkService {
  constructor(
    @Inject(STORE) private readonly store: Store,
    @Inject(Reader) private readonly reader: Reader,
  ) {}

  async whole({ context }: Caller, id: string): Promise<WholeWorkOrder> {
    const [order] = await this.store.withCompanySql(context, (client) => wholeOrders(client, this.reader, [id]));
    if (order === undefined) throw notFound('work-order');
    return order;
  }

  async create(caller: Caller, given: WorkOrderCreate): Promise<WholeWorkOrder> {
    const [made] = await createOrders(this.store, caller.context, [given]);
    if ('refused' in made!) throw workRefusal(made);
    return this.whole(caller, made!.id);
  }

  async createMany(caller: Caller, given: WorkOrderCreate[]): Promise<WorkOrderResults> {
    return this.results(caller, await createOrders(this.store, caller.context, given));
  }

  async releaseMany(caller: Caller, ids: string[]): Promise<WorkOrderResults> {
    return this.results(caller, await releaseOrders(this.store, caller.context, ids));
  }

  async release(caller: Caller, id: string): Promise<WholeWorkOrder> {
    const [result] = await releaseOrders(this.store, caller.context, [id]);
    if ('refused' in result!) throw workRefusal(result);
    return this.whole(caller, id);
  }

  change(caller: Caller, id: string, version: number, given: WorkOrderChange): Promise<WholeWorkOrder> {
    return this.done(caller, id, changeOrder(this.store, caller.context, id, version, given));
  }

  review(caller: Caller, id: string, version: number | null): Promise<WholeWorkOrder> {
    return this.done(caller, id, reviewOrder(this.store, caller.context, id, version));
  }

  cancel(caller: Caller, id: string, version: number | null, reason: string): Promise<WholeWorkOrder> {
    return this.done(caller, id, cancelOrder(this.store, caller.context, id, version, reason));
  }

  work(caller: Caller, id: string, version: number | null, command: TechnicianCommand): Promise<WholeWorkOrder> {
    return this.done(caller, id, workAtDesk(this.store, senderOf(caller), id, version, command));
  }

  async addFinding(caller: Caller, given: FindingCreate): Promise<Row> {
    const made = await addFinding(this.store, { ...caller.context, accountId: caller.accountId }, given);
    if ('refused' in made) throw workRefusal(made);
    return this.reader.one(findings, caller, made.id);
  }

  async changeFinding(caller: Caller, id: string, version: number, given: FindingChange): Promise<Row> {
    await this.settled(caller, findings, id, changeFinding(this.store, caller.context, id, version, given));
    return this.reader.one(findings, caller, id);
  }

  private async done(caller: Caller, id: string, asked: Promise<DeskResult>): Promise<WholeWorkOrder> {
    await this.settled(caller, workOrders, id, asked);
    return this.whole(caller, id);
  }

  private async settled(caller: Caller, definition: ReadDefinition, id: string, asked: Promise<DeskResult>): Promise<void> {
    const result = await asked;
    if (!('refused' in result)) return;
    if (result.refused === 'stale') throw stale(await this.reader.one(definition, caller, id));
    throw workRefusal(result);
  }

  private async results(caller: Caller, made: readonly ({ id: string } | Refused)[]): Promise<WorkOrderResults> {
    const ids = made.flatMap((one) => ('refused' in one ? [] : [one.id]));
    const rows = await this.store.withCompanySql(caller.context, (client) =>
      this.reader.rows<{ id: string; number: number }>(client, { text: 'SELECT id, number FROM work_order WHERE id = ANY ($1::uuid[])', values: [ids] }));
    const numbers = new Map(rows.map(({ id, number }) => [id, number]));
    return {
      results: made.map((one) => ('refused' in one
        ? { id: null, number: null, refusal: { code: one.refused, facts: one.facts } }
        : { id: one.id, number: numbers.get(one.id) ?? null, refusal: null })),
    };
  }
}
