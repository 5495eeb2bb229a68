import { z } from 'zod';
import { checkedBy, civilDate, type FieldError, id, instant, line, text } from '../shared/fields.js';
import type { ListWords } from '../shared/list.js';

/** What somebody can be competent for. */
export const competenceKind = z.enum(['safety-inspection', 'force-measurement', 'electrical', 'mechanical']);
export type CompetenceKindWord = z.infer<typeof competenceKind>;

/** As of today; `expires-soon`: within 60 days. */
export const competenceState = z.enum(['valid', 'expires-soon', 'expired', 'revoked', 'not-yet']);
export type CompetenceStateWord = z.infer<typeof competenceState>;

/** That somebody may do something, by whose word, and until when: a fact, never changed; revoked with the reason. */
export const competence = z.object({
  id,
  accountId: id,
  accountName: z.string(),
  accountActive: z.boolean(),
  kind: competenceKind,
  /** What it rests on. */
  evidence: z.string(),
  issuer: z.string(),
  validFrom: civilDate,
  /** The last day; null: without end. */
  validUntil: civilDate.nullable(),
  note: z.string().nullable(),
  recordedById: id.nullable(),
  recordedByName: z.string().nullable(),
  recordedAt: instant,
  /** The first day on which it holds no more. */
  revokedOn: civilDate.nullable(),
  revokedByName: z.string().nullable(),
  revokedReason: z.string().nullable(),
  state: competenceState,
}).meta({ id: 'Competence' });
export type Competence = z.infer<typeof competence>;

interface CompetenceRuled {
  validFrom: string;
  validUntil?: string | null | undefined;
}
export function competenceRules({ validFrom, validUntil }: CompetenceRuled): FieldError[] {
  return validUntil != null && validUntil < validFrom ? [{ field: 'validUntil', message: 'lies before validFrom' }] : [];
}

export const competenceCreate = z.strictObject({
  /** Of the company's own people, not of an owner's. */
  accountId: id,
  kind: competenceKind,
  evidence: line.min(1),
  issuer: line.min(1),
  validFrom: civilDate,
  validUntil: civilDate.nullable().optional(),
  note: text.nullable().optional(),
}).superRefine(checkedBy<CompetenceRuled>(competenceRules)).meta({ id: 'CompetenceCreate' });
export type CompetenceCreate = z.infer<typeof competenceCreate>;

export const competenceRevoke = z.strictObject({
  reason: line.min(1),
  /** The first day on which it holds no more: not before `validFrom`, not in the future. */
  revokedOn: civilDate,
}).meta({ id: 'CompetenceRevoke' });
export type CompetenceRevoke = z.infer<typeof competenceRevoke>;

export const competenceList: ListWords = {
  filters: { id, accountId: id, kind: competenceKind, state: competenceState },
  ranges: { validFrom: 'date', validUntil: 'date' },
  sorts: ['accountName', 'kind', 'validFrom', 'validUntil'],
  defaultSort: 'validUntil',
  search: true,
};
