import { z } from 'zod';
import { partKind } from '../fleet/partKinds.js';
import { checkedBy, type FieldError, id, instant, name, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';

/** A part that the company keeps; its kind says into which positions it goes. */
export const stockPart = z.object({
  id,
  code: z.string(),
  kind: partKind,
  name: z.string(),
  cost: z.number().nullable(),
  currency: z.string().nullable(),
  weightKg: z.number().nullable(),
  /** How many lie in the company's store, and in all vans together. */
  inStore: z.int(),
  inVans: z.int(),
  /** With so many or fewer in the store it is low; null: never said to be. */
  lowAt: z.int().nullable(),
  low: z.boolean(),
  /** How many a van should carry. */
  perVan: z.int().nullable(),
  archived: z.boolean(),
  archivedAt: instant.nullable(),
  version,
}).meta({ id: 'StockPart' });
export type StockPart = z.infer<typeof stockPart>;

interface PartRuled {
  cost?: number | null | undefined;
  currency?: string | null | undefined;
}
export function stockPartRules({ cost, currency }: PartRuled): FieldError[] {
  return (cost == null) !== (currency == null) ? [{ field: 'currency', message: 'cost and currency go together' }] : [];
}
const quantity = z.int().min(0).max(10_000);
const fields = {
  code: z.string().trim().min(1).max(60),
  kind: partKind,
  name,
  /** Price of one, in minor units. */
  cost: z.int().min(0).max(1_000_000_000).nullable().optional(),
  currency: z.string().regex(/^[A-Z]{3}$/, 'must be three capital letters (ISO 4217)').nullable().optional(),
  weightKg: z.number().min(0).max(5000).nullable().optional(),
  inStore: quantity.optional(),
  lowAt: quantity.nullable().optional(),
  perVan: quantity.nullable().optional(),
};
export const stockPartCreate = z.strictObject(fields).superRefine(checkedBy<PartRuled>(stockPartRules)).meta({ id: 'StockPartCreate' });
export const stockPartChange = z.strictObject(fields).partial().meta({ id: 'StockPartChange' });
export type StockPartCreate = z.infer<typeof stockPartCreate>;
export type StockPartChange = z.infer<typeof stockPartChange>;

export const stockPartList: ListWords = {
  filters: { id, kind: partKind, archived: flag, low: flag },
  ranges: {},
  sorts: ['code', 'name', 'kind', 'inStore', 'inVans'],
  defaultSort: 'code',
  search: true,
};

/** How many of a part lie in a technician's van. */
export const vanStock = z.object({
  id,
  technicianId: id,
  technicianName: z.string(),
  partId: id,
  code: z.string(),
  kind: partKind,
  partName: z.string(),
  quantity: z.int(),
  /** How many a van should carry, and whether this one has fewer. */
  perVan: z.int().nullable(),
  low: z.boolean(),
  countedAt: instant,
  version,
}).meta({ id: 'VanStock' });
export type VanStock = z.infer<typeof vanStock>;

export const vanStockCreate = z.strictObject({ technicianId: id, partId: id, quantity }).meta({ id: 'VanStockCreate' });
export const vanStockChange = z.strictObject({ quantity }).partial().meta({ id: 'VanStockChange' });
export type VanStockCreate = z.infer<typeof vanStockCreate>;
export type VanStockChange = z.infer<typeof vanStockChange>;

export const vanStockList: ListWords = {
  filters: { id, technicianId: id, partId: id, kind: partKind, low: flag },
  ranges: {},
  sorts: ['technicianName', 'code', 'kind', 'quantity'],
  defaultSort: 'technicianName,code',
  search: true,
};

/** Parts that go from the company's store into a van, all or none. A negative quantity goes from the van back into the store. */
export const vanLoad = z.strictObject({
  technicianId: id,
  parts: z.array(z.strictObject({
    partId: id,
    quantity: z.int().min(-10_000).max(10_000).refine((value) => value !== 0, 'must not be 0'),
  })).min(1).max(50).refine((parts) => new Set(parts.map(({ partId }) => partId)).size === parts.length, 'must name each part once'),
}).meta({ id: 'VanLoad' });
export type VanLoad = z.infer<typeof vanLoad>;

/** What the van has of those parts now, and what is left of them in the store. */
export const vanLoaded = z.object({
  parts: z.array(z.object({ partId: id, code: z.string(), inVan: z.int(), inStore: z.int() })),
}).meta({ id: 'VanLoaded' });
export type VanLoaded = z.infer<typeof vanLoaded>;
