import { checklistFaults } from '@lintel/contract';
import type { ChecklistStep } from '@lintel/contract';

type Kind = ChecklistStep['kind'];
type Field = Exclude<keyof ChecklistStep, 'kind' | 'text'>;

const anywhere: readonly Field[] = ['partKind', 'positionId', 'optional'];

/** What a step of each kind can have beside its text; nothing else is kept. */
export const stepFields: Record<Kind, readonly Field[]> = {
  confirm: ['caution', 'safety', ...anywhere],
  measure: ['unit', 'lower', 'upper', 'resolution', 'safety', ...anywhere],
  choose: ['options', 'failing', 'safety', ...anywhere],
  photograph: ['least', ...anywhere],
  'read-counter': ['optional'],
  'test-device': anywhere,
  'force-test': ['optional'],
  'fit-part': anywhere,
  text: anywhere,
};

const isEmpty = (value: unknown): boolean => value === null || value === undefined || value === '' || value === false || (Array.isArray(value) && value.length === 0);

/** A step as the server takes it: what it does not have, or what its kind cannot have, is left out. */
export function tidyStep(step: Record<string, unknown>): Record<string, unknown> {
  const own: readonly string[] = ['kind', 'text', ...(stepFields[step['kind'] as Kind] ?? [])];
  return Object.fromEntries(Object.entries(step).filter(([field, value]) => own.includes(field) && !isEmpty(value)));
}

/** What is wrong with a checklist as it is being edited, by step and field, in the form's own shape; empty: nothing. */
export function checklistErrors(checklist: unknown): { checklist?: Record<string, string>[] } {
  if (!Array.isArray(checklist)) return {};
  const steps = (checklist as (Record<string, unknown> | null)[]).map((step) => tidyStep(step ?? {}));
  const errors = steps.map((step): Record<string, string> => ({
    ...(step['kind'] ? {} : { kind: 'Required' }),
    ...(step['text'] ? {} : { text: 'Required' }),
  }));
  for (const { index, field, message } of checklistFaults(steps as unknown as ChecklistStep[])) {
    const at = errors[index];
    if (at) at[field] = message;
  }
  return errors.some((error) => Object.keys(error).length > 0) ? { checklist: errors } : {};
}
