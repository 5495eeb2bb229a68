import { z } from 'zod';
import { id, instant, name, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';

export const temperatureClass = z.enum(['freezer', 'cooler', 'ambient', 'outdoor']);

export const zone = z.object({
  id,
  siteId: id,
  siteName: z.string(),
  name: z.string(),
  temperatureClass,
  setPointCelsius: z.number().nullable(),
  archived: z.boolean(),
  archivedAt: instant.nullable(),
  version,
}).meta({ id: 'Zone' });
export type Zone = z.infer<typeof zone>;

const fields = {
  siteId: id,
  name,
  temperatureClass,
  setPointCelsius: z.number().min(-90).max(90).nullable().optional(),
};
export const zoneCreate = z.strictObject(fields).meta({ id: 'ZoneCreate' });
export const zoneChange = z.strictObject(fields).omit({ siteId: true }).partial().meta({ id: 'ZoneChange' });
export type ZoneCreate = z.infer<typeof zoneCreate>;
export type ZoneChange = z.infer<typeof zoneChange>;

export const zoneList: ListWords = {
  filters: { id, siteId: id, temperatureClass, archived: flag },
  ranges: {},
  sorts: ['name', 'siteName', 'temperatureClass'],
  defaultSort: 'siteName,name',
  search: true,
};
