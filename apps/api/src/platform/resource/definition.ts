import type { FieldError, ListWords, Resource } from '@lintel/contract';
import type { CompanyContext, CompanyDb } from '@lintel/store';
import type { z } from 'zod';
import type { Codec } from './codecs.js';

export type Row = Record<string, unknown>;

/** The stored word behind a field: the planner knows how common it is. */
export interface FilterColumn {
  column: string;
  /** What the field says where nothing is stored. */
  absent?: string;
}

/** Where a list comes from. The view's columns carry the names of the record's fields. */
export interface ReadDefinition {
  /** Last part of the address, e.g. `door-types`. */
  path: string;
  /** The room, as tag in the OpenAPI document. */
  room: string;
  /** Whose access it goes by. */
  resource: Resource;
  /** One of them, in words of the ledger: `door-type`. */
  subject: string;
  view: string;
  record: z.ZodObject;
  list: ListWords;
  /** Columns that `q` looks into. */
  search: readonly string[];
  /** Fields that are filtered by another column than the one they are read from. */
  filterBy?: Record<string, FilterColumn>;
  /** A technician sees those rows alone of which this field is the technician's account. */
  ownField?: string;
  /** What keeps equal rows in order where the id is not a column of the table. Left out: `id`. */
  ties?: readonly string[];
}

/** What follows from a change, in its own transaction. */
export type AfterWrite = (db: CompanyDb, context: CompanyContext, change: { id: string; given: Row }) => Promise<void>;

export interface CreateDefinition {
  schema: z.ZodType;
  /** More than one row is made, or something must be looked at first; returns the id. Left out: the one row. */
  act?: (db: CompanyDb, context: CompanyContext, given: Row) => Promise<string>;
}

export interface ChangeDefinition {
  schema: z.ZodType;
  /** What must hold of the whole row after the change. */
  rules?: (merged: never) => FieldError[];
  before?: AfterWrite;
}

export interface ArchiveDefinition {
  /** Why it is still in use; null: it is not. */
  usedBy: (db: CompanyDb, id: string) => Promise<string | null>;
}

/** A plain resource: rows of one table that can be made, changed under a version, and archived. */
export interface WriteDefinition extends ReadDefinition {
  /** Prisma's name of the table. */
  model: string;
  /** Fields whose form on the wire differs from Prisma's. */
  codecs?: Record<string, Codec>;
  create?: CreateDefinition;
  change?: ChangeDefinition;
  archive?: ArchiveDefinition;
  after?: AfterWrite;
}
