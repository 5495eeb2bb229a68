import { newId, writeLedger, type CompanyContext, type CompanyDb, type Store } from '@lintel/store';
import { Inject, Injectable } from '@nestjs/common';
import type { Caller } from '../access.js';
import { STORE } from '../options.js';
import { invalid, notFound, Refusal } from '../refusal.js';
import { toPrisma } from './codecs.js';
import { databaseRefusal } from './databaseRefusal.js';
import type { Row, WriteDefinition } from './definition.js';
import { Reader } from './reader.js';

/** The part of a Prisma table that is used here. */
interface Table {
  create(query: { data: Row }): Promise<unknown>;
  updateMany(query: { where: Row; data: Row }): Promise<{ count: number }>;
}

/** Makes, changes and archives rows of any plain resource: the change, its ledger entry and what follows, or nothing. */
@Injectable()
export class Writer {
  constructor(
    @Inject(STORE) private readonly store: Store,
    @Inject(Reader) private readonly reader: Reader,
  ) {}

  async create(definition: WriteDefinition, caller: Caller, given: Row): Promise<Row> {
    const id = await this.inCompany(caller.context, async (db) => {
      const { context } = caller;
      const made = await (definition.create?.act?.(db, context, given) ?? this.insert(definition, db, context, given));
      await writeLedger(db, context, { action: `${definition.subject}-added`, ...subject(definition, made), detail: noted(given) });
      await definition.after?.(db, context, { id: made, given });
      return made;
    });
    return this.reader.one(definition, caller, id);
  }

  /** @throws Refusal `stale` with the row as it is now, when it is no longer at `version`. */
  async change(definition: WriteDefinition, caller: Caller, id: string, version: number, given: Row): Promise<Row> {
    const current = await this.reader.one(definition, caller, id);
    const errors = definition.change?.rules?.({ ...current, ...given } as never) ?? [];
    if (errors.length > 0) throw invalid(errors);
    // Taken first: `before` may put a hash in the place of a password.
    const detail = noted(given);
    const changed = await this.inCompany(caller.context, async (db) => {
      const { context } = caller;
      await definition.change?.before?.(db, context, { id, given });
      const data = { ...toPrisma(given, definition.codecs), version: { increment: 1 } };
      if ((await tableOf(db, definition).updateMany({ where: { id, version }, data })).count === 0) return false;
      await writeLedger(db, context, { action: `${definition.subject}-changed`, ...subject(definition, id), detail });
      await definition.after?.(db, context, { id, given });
      return true;
    });
    if (!changed) throw await this.stale(definition, caller, id);
    return this.reader.one(definition, caller, id);
  }

  async archive(definition: WriteDefinition, caller: Caller, id: string, version: number): Promise<void> {
    await this.reader.one(definition, caller, id);
    const done = await this.inCompany(caller.context, async (db) => {
      const where = { id, version, archivedAt: null };
      const data = { archivedAt: new Date(), version: { increment: 1 } };
      if ((await tableOf(db, definition).updateMany({ where, data })).count === 0) return false;
      const usedBy = await definition.archive?.usedBy(db, id);
      if (usedBy) throw new Refusal('in-use', usedBy);
      await writeLedger(db, caller.context, { action: `${definition.subject}-archived`, ...subject(definition, id) });
      await definition.after?.(db, caller.context, { id, given: {} });
      return true;
    });
    if (done) return;
    const current = await this.reader.one(definition, caller, id);
    if (current['archived'] === true) throw new Refusal('conflict', `This ${definition.subject} is archived already.`);
    throw stale(current);
  }

  /** One transaction of the company; a broken rule of the database comes out as a refusal. */
  async inCompany<T>(context: CompanyContext, work: (db: CompanyDb) => Promise<T>): Promise<T> {
    try {
      return await this.store.withCompany(context, work);
    } catch (thrown) {
      throw (thrown instanceof Refusal ? null : databaseRefusal(thrown)) ?? thrown;
    }
  }

  async stale(definition: WriteDefinition, caller: Caller, id: string): Promise<Refusal> {
    const current = await this.reader.find(definition, caller, id);
    return current === null ? notFound(definition.subject) : stale(current);
  }

  private async insert(definition: WriteDefinition, db: CompanyDb, { companyId }: CompanyContext, given: Row): Promise<string> {
    const id = newId();
    await tableOf(db, definition).create({ data: { ...toPrisma(given, definition.codecs), companyId, id } });
    return id;
  }
}

export function stale(current: Row): Refusal {
  return new Refusal('stale', 'It was changed meanwhile; nothing was overwritten. `current` is how it stands.', { current });
}

const tableOf = (db: CompanyDb, definition: WriteDefinition): Table =>
  (db as unknown as Record<string, Table>)[definition.model]!;

const subject = (definition: WriteDefinition, id: string) => ({ subjectKind: definition.subject, subjectId: id });

/** What the ledger keeps of a change: everything but secrets. */
function noted(given: Row): Row {
  const { password, ...rest } = given;
  return password === undefined ? rest : { ...rest, password: 'set' };
}
