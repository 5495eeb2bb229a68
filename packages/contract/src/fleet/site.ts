import { z } from 'zod';
import { checkedBy, type FieldError, id, instant, line, name, timeZone, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';

export const units = z.enum(['metric', 'us']);

export const site = z.object({
  id,
  ownerId: id,
  ownerName: z.string(),
  name: z.string(),
  address: z.string().nullable(),
  countryCode: z.string(),
  timeZone: z.string(),
  latitude: z.number().nullable(),
  longitude: z.number().nullable(),
  units,
  currency: z.string(),
  /** Months between safety inspections that the site's rules ask for; tightens a plan's own interval, never loosens it. */
  regimeMonths: z.int().nullable(),
  regimeSource: z.string().nullable(),
  doors: z.int(),
  doorsOutOfService: z.int(),
  /** Doors with an overdue safety inspection. */
  overdueSafety: z.int(),
  archived: z.boolean(),
  archivedAt: instant.nullable(),
  version,
}).meta({ id: 'Site' });
export type Site = z.infer<typeof site>;

const fields = {
  ownerId: id,
  name,
  address: line.nullable().optional(),
  countryCode: z.string().regex(/^[A-Z]{2}$/, 'must be two capital letters (ISO 3166-1)'),
  timeZone,
  latitude: z.number().min(-90).max(90).nullable().optional(),
  longitude: z.number().min(-180).max(180).nullable().optional(),
  units: units.optional(),
  currency: z.string().regex(/^[A-Z]{3}$/, 'must be three capital letters (ISO 4217)').optional(),
  regimeMonths: z.int().min(1).max(120).nullable().optional(),
  regimeSource: line.nullable().optional(),
};

interface SiteRuled {
  regimeMonths?: number | null | undefined;
  regimeSource?: string | null | undefined;
  latitude?: number | null | undefined;
  longitude?: number | null | undefined;
}

/** Months between inspections name their source; a place has both coordinates or neither. */
export function siteRules(given: SiteRuled): FieldError[] {
  const errors: FieldError[] = [];
  if (given.regimeMonths != null && !given.regimeSource) {
    errors.push({ field: 'regimeSource', message: 'is needed where regimeMonths is set: say which rule asks for it' });
  }
  if ((given.latitude == null) !== (given.longitude == null)) {
    errors.push({ field: 'longitude', message: 'latitude and longitude go together' });
  }
  return errors;
}

export const siteCreate = z.strictObject(fields).superRefine(checkedBy<SiteRuled>(siteRules)).meta({ id: 'SiteCreate' });
export const siteChange = z.strictObject(fields).omit({ ownerId: true }).partial().meta({ id: 'SiteChange' });
export type SiteCreate = z.infer<typeof siteCreate>;
export type SiteChange = z.infer<typeof siteChange>;

export const siteList: ListWords = {
  filters: { id, ownerId: id, countryCode: z.string(), archived: flag },
  ranges: {},
  sorts: ['name', 'ownerName', 'countryCode', 'doors', 'doorsOutOfService', 'overdueSafety'],
  defaultSort: 'name',
  search: true,
};
