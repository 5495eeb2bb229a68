import { z } from 'zod';
import { id } from '../shared/fields.js';
import { flag } from '../shared/list.js';
import { condition } from '../wear/condition.js';
import { doorState } from './door.js';
import { doorKind } from './doorType.js';

export const labelPaper = z.enum(['a4', 'us-letter']);
export type LabelPaper = z.infer<typeof labelPaper>;
export const labelSize = z.enum(['small', 'medium', 'large']);
export type LabelSize = z.infer<typeof labelSize>;

/** Width and height of a label, mm. */
export const labelSizesMm: Record<LabelSize, { widthMm: number; heightMm: number }> = {
  small: { widthMm: 60, heightMm: 32 },
  medium: { widthMm: 90, heightMm: 50 },
  large: { widthMm: 140, heightMm: 85 },
};

/** Doors on one file of labels. */
export const mostLabels = 500;

const ids = z.string().max(8000).transform((given) => given.split(',')).pipe(z.array(id).min(1).max(200));

/** Which doors get a label: those named, or all that fit; decommissioned ones never. */
export const doorLabelQuery = z.strictObject({
  paper: labelPaper.default('a4'),
  size: labelSize.default('medium'),
  id: ids.optional().describe('Ids of doors, comma between'),
  siteId: id.optional(),
  ownerId: id.optional(),
  doorTypeId: id.optional(),
  kind: doorKind.optional(),
  state: doorState.optional(),
  condition: condition.optional(),
  overdueSafety: flag.optional(),
  q: z.string().trim().max(100).optional(),
}).meta({ id: 'DoorLabelQuery' });
export type DoorLabelQuery = z.infer<typeof doorLabelQuery>;
