import { z } from 'zod';
import { civilDate, cycles, id, instant, line, name, text, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';
import { condition } from '../wear/condition.js';
import { doorKind } from './doorType.js';
import { temperatureClass } from './zone.js';

export const doorState = z.enum(['in-service', 'out-of-service', 'decommissioned']);
export type DoorState = z.infer<typeof doorState>;

/** A door with what the last projection says of it; the fields from `lifetimeCycles` on are null before the first one. */
export const door = z.object({
  id,
  siteId: id,
  siteName: z.string(),
  timeZone: z.string(),
  ownerId: id,
  ownerName: z.string(),
  doorTypeId: id,
  doorTypeName: z.string(),
  kind: doorKind,
  heated: z.boolean(),
  name: z.string(),
  serial: z.string().nullable(),
  fromZoneId: id.nullable(),
  fromZoneName: z.string().nullable(),
  fromZoneClass: temperatureClass.nullable(),
  toZoneId: id.nullable(),
  toZoneName: z.string().nullable(),
  toZoneClass: temperatureClass.nullable(),
  widthMm: z.int(),
  heightMm: z.int(),
  installedOn: civilDate,
  maker: z.string().nullable(),
  installer: z.string().nullable(),
  state: doorState,
  stateReason: z.string().nullable(),
  stateSince: instant,
  notes: z.string().nullable(),
  version,
  lifetimeCycles: cycles.nullable(),
  cyclesPerDay10: z.number().nullable(),
  cyclesPerDay: z.number().nullable(),
  cyclesPerDay90: z.number().nullable(),
  lastReadingAt: instant.nullable(),
  condition,
  worstPartId: id.nullable(),
  worstPartName: z.string().nullable(),
  chance90: z.number().nullable(),
  nextDueOn: civilDate.nullable(),
  nextTaskId: id.nullable(),
  nextTaskName: z.string().nullable(),
  /** Latest date of the earliest safety inspection: overdue from the day after it. */
  safetyLatestOn: civilDate.nullable(),
  overdueSafety: z.boolean(),
  projectedAt: instant.nullable(),
}).meta({ id: 'Door' });
export type Door = z.infer<typeof door>;

const fields = {
  siteId: id,
  doorTypeId: id,
  name,
  serial: line.min(1).nullable().optional(),
  fromZoneId: id.nullable().optional(),
  toZoneId: id.nullable().optional(),
  widthMm: z.int().min(300).max(20_000),
  heightMm: z.int().min(300).max(20_000),
  installedOn: civilDate,
  maker: line.min(1).nullable().optional(),
  installer: line.min(1).nullable().optional(),
  notes: text.nullable().optional(),
};
/**
 * Without a size a door takes its type's. It comes with a counter and with a part in every position of its type, all from
 * its first day; `bare`: without them.
 */
export const doorCreate = z.strictObject({
  ...fields,
  widthMm: fields.widthMm.optional(),
  heightMm: fields.heightMm.optional(),
  bare: z.boolean().optional(),
}).meta({ id: 'DoorCreate' });
export const doorChange = z.strictObject(fields).omit({ siteId: true, doorTypeId: true }).partial()
  .meta({ id: 'DoorChange' });
export type DoorCreate = z.infer<typeof doorCreate>;
export type DoorChange = z.infer<typeof doorChange>;

export const doorSetState = z.strictObject({
  state: z.enum(['in-service', 'out-of-service']),
  reason: line.min(1),
}).meta({ id: 'DoorSetState' });
export const doorDecommission = z.strictObject({ reason: line.min(1) }).meta({ id: 'DoorDecommission' });
export type DoorSetState = z.infer<typeof doorSetState>;
export type DoorDecommission = z.infer<typeof doorDecommission>;

export const doorList: ListWords = {
  filters: {
    id,
    siteId: id,
    ownerId: id,
    doorTypeId: id,
    kind: doorKind,
    state: doorState,
    condition,
    serial: z.string(),
    overdueSafety: flag,
  },
  ranges: { nextDueOn: 'date', installedOn: 'date' },
  sorts: [
    'name', 'serial', 'siteName', 'ownerName', 'doorTypeName', 'state', 'condition', 'chance90', 'nextDueOn',
    'safetyLatestOn', 'cyclesPerDay', 'lifetimeCycles', 'lastReadingAt', 'installedOn',
  ],
  defaultSort: 'name',
  search: true,
};
