import type { DoorRenewals, HandbookLives, PartKind, SafetyLives, WearAnalysis } from '@lintel/contract';
import { doorRenewals, doorSafetyLives, enqueue, fixWearModel, handbookLives, releaseWearModel, wearAnalysis, type Store, type WearModelDeed } from '@lintel/store';
import { Inject, Injectable } from '@nestjs/common';
import type pg from 'pg';
import type { Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';
import { notFound, Refusal } from '../platform/refusal.js';
import type { Row } from '../platform/resource/definition.js';
import { Reader } from '../platform/resource/reader.js';
import { stale, Writer } from '../platform/resource/writer.js';
import { wearModels } from './definitions.js';

export interface Decision {
  id: string;
  /** The version that it was decided over, where the caller gave one. */
  version: number | null;
  deed: 'fix' | 'release';
  note: string;
}

const againstWords: Record<Exclude<WearModelDeed, 'done' | 'not-there'>, string> = {
  'fixed-already': 'This version is fixed already.',
  'not-fixed': 'This version is not fixed.',
};

/** What was learned of the lives of parts, and what follows from it in money. */
@Injectable()
export class WearService {
  constructor(
    @Inject(STORE) private readonly store: Store,
    @Inject(Reader) private readonly reader: Reader,
    @Inject(Writer) private readonly writer: Writer,
  ) {}

  async analysis({ context }: Caller, id: string): Promise<WearAnalysis> {
    const found = await this.store.withCompanySql(context, (client) => wearAnalysis(client, context.companyId, id));
    if (found === null) throw notFound(wearModels.subject);
    return found;
  }

  renewals(caller: Caller, doorId: string): Promise<DoorRenewals> {
    return this.ofDoor(caller, doorId, doorRenewals);
  }

  handbookLives(caller: Caller, doorId: string): Promise<HandbookLives> {
    return this.ofDoor(caller, doorId, handbookLives);
  }

  async safetyLives(caller: Caller, doorId: string): Promise<SafetyLives> {
    return { items: await this.ofDoor(caller, doorId, doorSafetyLives) };
  }

  private async ofDoor<T>(
    { context }: Caller,
    doorId: string,
    ask: (client: pg.ClientBase, companyId: string, doorId: string, now: Date) => Promise<T | null>,
  ): Promise<T> {
    const found = await this.store.withCompanySql(context, (client) => ask(client, context.companyId, doorId, new Date()));
    if (found === null) throw notFound('door');
    return found;
  }

  refit({ context }: Caller, kind: PartKind): Promise<string> {
    return this.writer.inCompany(context, (db) => enqueue(db, context, 'refit-pool', { kind }));
  }

  async decide(caller: Caller, { id, version, deed, note }: Decision): Promise<Row> {
    const { context } = caller;
    const current = await this.reader.one(wearModels, caller, id);
    if (version !== null && current['version'] !== version) throw stale(current);
    const act = deed === 'fix' ? fixWearModel : releaseWearModel;
    const done = await this.writer.inCompany(context, (db) => act(db, context, id, note));
    if (done === 'not-there') throw notFound(wearModels.subject);
    if (done !== 'done') throw new Refusal('conflict', againstWords[done]);
    return this.reader.one(wearModels, caller, id);
  }
}
