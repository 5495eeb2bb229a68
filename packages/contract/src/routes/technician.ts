import { z } from 'zod';
import { checkedBy, civilDate, type FieldError, id, instant, line, timeZone, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';

/** A time of the day by the clock on the wall; `24:00` is its end. */
export const clock = z.string().regex(/^(([01]\d|2[0-3]):[0-5]\d|24:00)$/, 'must be a time HH:MM');
/** 1 (Monday) … 7 (Sunday), as in ISO 8601. */
export const weekday = z.int().min(1).max(7);

/** Hours of one weekday, in the zone of the technician's home. */
export const weekShift = z.strictObject({ weekday, from: clock, to: clock })
  .refine(({ from, to }) => from < to, { path: ['to'], message: 'must be later than from' })
  .meta({ id: 'WeekShift' });
export type WeekShift = z.infer<typeof weekShift>;

/** What a technician's account says for routes. Its id is the account's. */
export const technician = z.object({
  id,
  name: z.string(),
  email: z.string(),
  active: z.boolean(),
  homeLatitude: z.number(),
  homeLongitude: z.number(),
  timeZone: z.string(),
  skills: z.array(z.string()),
  shifts: z.array(weekShift),
  vanLoadKg: z.int().nullable(),
  archived: z.boolean(),
  archivedAt: instant.nullable(),
  version,
}).meta({ id: 'Technician' });
export type Technician = z.infer<typeof technician>;

const fields = {
  homeLatitude: z.number().min(-90).max(90),
  homeLongitude: z.number().min(-180).max(180),
  timeZone,
  skills: z.array(z.string().trim().min(1).max(60)).max(50).optional(),
  shifts: z.array(weekShift).max(21).superRefine((shifts, context) => {
    const sorted = [...shifts].sort((a, b) => a.weekday - b.weekday || (a.from < b.from ? -1 : 1));
    sorted.forEach((shift, at) => {
      const before = sorted[at - 1];
      if (before?.weekday === shift.weekday && before.to > shift.from) context.addIssue(`hours of weekday ${shift.weekday} overlap`);
    });
  }),
  vanLoadKg: z.int().min(0).max(10_000).nullable().optional(),
};
/** `accountId`: an account of role technician that has no profile yet. */
export const technicianCreate = z.strictObject({ accountId: id, ...fields }).meta({ id: 'TechnicianCreate' });
export const technicianChange = z.strictObject(fields).partial().meta({ id: 'TechnicianChange' });
export type TechnicianCreate = z.infer<typeof technicianCreate>;
export type TechnicianChange = z.infer<typeof technicianChange>;

export const technicianList: ListWords = {
  filters: { id, archived: flag, active: flag },
  ranges: {},
  sorts: ['name', 'email'],
  defaultSort: 'name',
  search: true,
};

/** Days on which a technician does not drive, both included. */
export const absence = z.object({
  id,
  technicianId: id,
  technicianName: z.string(),
  fromOn: civilDate,
  toOn: civilDate,
  note: z.string().nullable(),
  archived: z.boolean(),
  archivedAt: instant.nullable(),
  version,
}).meta({ id: 'Absence' });
export type Absence = z.infer<typeof absence>;

interface AbsenceRuled {
  fromOn?: string | undefined;
  toOn?: string | undefined;
}
export function absenceRules({ fromOn, toOn }: AbsenceRuled): FieldError[] {
  return fromOn !== undefined && toOn !== undefined && toOn < fromOn ? [{ field: 'toOn', message: 'lies before fromOn' }] : [];
}
const absenceFields = { technicianId: id, fromOn: civilDate, toOn: civilDate, note: line.nullable().optional() };
export const absenceCreate = z.strictObject(absenceFields).superRefine(checkedBy<AbsenceRuled>(absenceRules)).meta({ id: 'AbsenceCreate' });
export const absenceChange = z.strictObject(absenceFields).omit({ technicianId: true }).partial().meta({ id: 'AbsenceChange' });
export type AbsenceCreate = z.infer<typeof absenceCreate>;
export type AbsenceChange = z.infer<typeof absenceChange>;

export const absenceList: ListWords = {
  filters: { id, technicianId: id, archived: flag },
  ranges: { fromOn: 'date', toOn: 'date' },
  sorts: ['fromOn', 'toOn', 'technicianName'],
  defaultSort: 'fromOn',
  search: false,
};

/** When work may begin at a site, by weekday in the site's zone. A site without any is open at all hours. */
export const siteWindow = z.object({
  id,
  siteId: id,
  siteName: z.string(),
  weekday,
  opensAt: clock,
  closesAt: clock,
  note: z.string().nullable(),
  archived: z.boolean(),
  archivedAt: instant.nullable(),
  version,
}).meta({ id: 'SiteWindow' });
export type SiteWindow = z.infer<typeof siteWindow>;

interface WindowRuled {
  opensAt?: string | undefined;
  closesAt?: string | undefined;
}
export function siteWindowRules({ opensAt, closesAt }: WindowRuled): FieldError[] {
  return opensAt !== undefined && closesAt !== undefined && opensAt >= closesAt
    ? [{ field: 'closesAt', message: 'must be later than opensAt' }]
    : [];
}
const windowFields = { siteId: id, weekday, opensAt: clock, closesAt: clock, note: line.nullable().optional() };
export const siteWindowCreate = z.strictObject(windowFields).superRefine(checkedBy<WindowRuled>(siteWindowRules)).meta({ id: 'SiteWindowCreate' });
export const siteWindowChange = z.strictObject(windowFields).omit({ siteId: true }).partial().meta({ id: 'SiteWindowChange' });
export type SiteWindowCreate = z.infer<typeof siteWindowCreate>;
export type SiteWindowChange = z.infer<typeof siteWindowChange>;

export const siteWindowList: ListWords = {
  filters: { id, siteId: id, weekday: z.coerce.number<string>().int().min(1).max(7), archived: flag },
  ranges: {},
  sorts: ['siteName', 'weekday', 'opensAt'],
  defaultSort: 'siteName,weekday,opensAt',
  search: false,
};
