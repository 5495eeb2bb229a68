import { z } from 'zod';
import { doorState } from '../fleet/door.js';
import { civilDate, id, instant, share } from '../shared/fields.js';
import { condition } from '../wear/condition.js';
import { dueItem } from './dueItem.js';

export const outlookWeeks = 12;
/** Most lines of each list of the outlook; the totals count all. */
export const outlookLines = 100;

const doorLine = {
  doorId: id,
  doorName: z.string(),
  siteId: id,
  siteName: z.string(),
  ownerId: id,
  ownerName: z.string(),
};

/** What must be acted on, and the weeks ahead. */
export const outlook = z.object({
  /** Today in UTC; whether something is overdue goes by each site's own calendar. */
  today: civilDate,
  overdueSafety: z.array(dueItem),
  weeks: z.array(z.object({
    from: civilDate,
    to: civilDate,
    /** Safety inspections falling due in the week; overdue ones are not among them. */
    safety: z.int(),
    maintenance: z.int(),
    /** In the first week: other tasks past their latest date. */
    overdueOther: z.int(),
  })),
  doorsAtRisk: z.array(z.object({
    ...doorLine,
    fittedPartId: id.nullable(),
    partName: z.string().nullable(),
    chance90: share,
    condition,
  })),
  doorsOutOfService: z.array(z.object({
    ...doorLine,
    state: doorState,
    stateReason: z.string().nullable(),
    stateSince: instant,
  })),
  totals: z.object({
    doors: z.int(),
    inService: z.int(),
    outOfService: z.int(),
    worn: z.int(),
    /** Overdue safety inspections. */
    overdueSafety: z.int(),
  }),
  /** When the oldest and the newest projection behind it ran; null: none has yet. */
  projectedFrom: instant.nullable(),
  projectedTo: instant.nullable(),
}).meta({ id: 'Outlook' });
export type Outlook = z.infer<typeof outlook>;
