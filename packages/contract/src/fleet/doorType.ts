import { z } from 'zod';
import { id, instant, name, text, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';

export const doorKind = z.enum(['freezer', 'cooler', 'dock']);
export type DoorKind = z.infer<typeof doorKind>;

export const doorType = z.object({
  id,
  name: z.string(),
  kind: doorKind,
  supplyVolts: z.int(),
  heated: z.boolean(),
  widthMm: z.int(),
  heightMm: z.int(),
  /** Shortest time of one full cycle, seconds: no counter can run faster. */
  minCycleSeconds: z.number(),
  notes: z.string().nullable(),
  positions: z.int(),
  doors: z.int(),
  archived: z.boolean(),
  archivedAt: instant.nullable(),
  version,
}).meta({ id: 'DoorType' });
export type DoorType = z.infer<typeof doorType>;

const fields = {
  name,
  kind: doorKind,
  supplyVolts: z.int().min(12).max(1000),
  heated: z.boolean().optional(),
  widthMm: z.int().min(300).max(20_000),
  heightMm: z.int().min(300).max(20_000),
  minCycleSeconds: z.number().min(0.5).max(3600),
  notes: text.nullable().optional(),
};
export const doorTypeCreate = z.strictObject(fields).meta({ id: 'DoorTypeCreate' });
export const doorTypeChange = z.strictObject(fields).partial().meta({ id: 'DoorTypeChange' });
export type DoorTypeCreate = z.infer<typeof doorTypeCreate>;
export type DoorTypeChange = z.infer<typeof doorTypeChange>;

export const doorTypeList: ListWords = {
  filters: { id, kind: doorKind, archived: flag },
  ranges: {},
  sorts: ['name', 'kind', 'supplyVolts', 'doors'],
  defaultSort: 'name',
  search: true,
};
