import { id as idSchema, type FieldError } from '@lintel/contract';
import { StandardSchemaValidationPipe, type PipeTransform } from '@nestjs/common';
import { invalid, notFound } from './refusal.js';

interface Issue {
  message: string;
  path?: readonly (PropertyKey | { key: PropertyKey })[] | undefined;
  keys?: readonly string[];
}

const mostErrors = 50;

/** What the schema found, as one error a field; an unknown key is named itself. */
export function fieldErrors(issues: readonly Issue[]): FieldError[] {
  return issues.slice(0, mostErrors).flatMap((issue) => {
    const path = (issue.path ?? []).map((part) => String(typeof part === 'object' ? part.key : part));
    if (issue.keys === undefined) return [{ field: path.join('.'), message: issue.message }];
    return issue.keys.slice(0, mostErrors).map((key) => ({ field: [...path, key].join('.').slice(0, 200), message: 'is not known here' }));
  });
}

export const validationPipe = (): StandardSchemaValidationPipe =>
  new StandardSchemaValidationPipe({ exceptionFactory: (issues) => invalid(fieldErrors(issues)) });

/** An id in a path: what is not one cannot be found either. */
export class IdPipe implements PipeTransform<string, string> {
  transform(value: string): string {
    const parsed = idSchema.safeParse(value);
    if (!parsed.success) throw notFound('row');
    return parsed.data.toLowerCase();
  }
}
