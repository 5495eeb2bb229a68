import { createHash } from 'node:crypto';
import type { ListRequest, Page } from '@lintel/contract';
import type { Store } from '@lintel/store';
import { Inject, Injectable } from '@nestjs/common';
import pg from 'pg';
import type { Caller } from '../access.js';
import { STORE } from '../options.js';
import { notFound } from '../refusal.js';
import type { ReadDefinition, Row } from './definition.js';
import { listStatements, oneStatement, type Fixed, type Statement } from './listSql.js';
import { wireTypes } from './rows.js';

const types = wireTypes(pg.types);
/** Each prepared statement costs memory in every connection: beyond so many, further ones are planned anew each time. */
const mostPrepared = 50;

/** Reads lists and single rows of any resource through its view. */
@Injectable()
export class Reader {
  private readonly names = new Map<string, string>();

  constructor(@Inject(STORE) private readonly store: Store) {}

  async list(definition: ReadDefinition, caller: Caller, request: ListRequest, fixed: Fixed = {}): Promise<Page<Row>> {
    const { page, count } = listStatements(definition, request, { ...fixed, ...own(definition, caller) });
    return this.store.withCompanySql(caller.context, async (client) => {
      const { rows } = await client.query<Row>(this.prepared(page));
      const total = request.count ? (await client.query<{ total: number }>(this.prepared(count))).rows[0]!.total : null;
      const hasNext = rows.length > request.limit;
      if (hasNext) rows.length = request.limit;
      return { items: rows, hasNext, total };
    });
  }

  /** @throws Refusal `not-found`, also for a row of another company or another owner: they cannot be told apart. */
  async one(definition: ReadDefinition, caller: Caller, id: string): Promise<Row> {
    const row = await this.find(definition, caller, id);
    if (row === null) throw notFound(definition.subject);
    return row;
  }

  async find(definition: ReadDefinition, caller: Caller, id: string): Promise<Row | null> {
    return this.store.withCompanySql(caller.context, async (client) => {
      const { rows } = await client.query<Row>(this.prepared(oneStatement(definition, id)));
      const mine = Object.entries(own(definition, caller)).every(([field, value]) => rows[0]?.[field] === value);
      return mine ? (rows[0] ?? null) : null;
    });
  }

  /** Rows of a statement of a room's own, as they go on the wire. */
  async rows<T extends object>(client: pg.PoolClient, statement: Statement): Promise<T[]> {
    return (await client.query<T>(this.prepared(statement))).rows;
  }

  private prepared(statement: Statement): pg.QueryConfig {
    const { text } = statement;
    let name = this.names.get(text);
    if (name === undefined && this.names.size < mostPrepared) {
      // By its text: two readers may share a pool, and a name stands for one statement in a connection.
      name = `read_${createHash('sha256').update(text).digest('hex').slice(0, 24)}`;
      this.names.set(text, name);
    }
    return name === undefined ? { ...statement, types } : { ...statement, name, types };
  }
}

/** What narrows a technician to the rows of the technician's own. */
const own = ({ ownField }: ReadDefinition, { role, accountId }: Caller): Fixed =>
  ownField !== undefined && role === 'technician' ? { [ownField]: accountId } : {};
