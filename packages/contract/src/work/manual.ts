import { z } from 'zod';
import { id, instant, line, name, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';

const body = z.string().trim().min(1).max(100_000);

/** What a technician can read of a door type without a signal. The maker's own manual comes first. */
export const manual = z.object({
  id,
  doorTypeId: id,
  doorTypeName: z.string(),
  title: z.string(),
  body: z.string(),
  /** Where it comes from. */
  source: z.string(),
  archived: z.boolean(),
  archivedAt: instant.nullable(),
  version,
}).meta({ id: 'Manual' });
export type Manual = z.infer<typeof manual>;

const fields = { doorTypeId: id, title: name, body, source: line.min(1) };
export const manualCreate = z.strictObject(fields).meta({ id: 'ManualCreate' });
export const manualChange = z.strictObject(fields).omit({ doorTypeId: true }).partial().meta({ id: 'ManualChange' });

export const manualList: ListWords = {
  filters: { id, doorTypeId: id, archived: flag },
  ranges: {},
  sorts: ['title', 'doorTypeName'],
  defaultSort: 'title',
  search: true,
};
