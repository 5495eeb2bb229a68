import type { WorkRefusalFacts } from '@lintel/contract';
import { refusalSentence } from '@lintel/ui';
import type { RefusalNames } from '@lintel/ui';
import { HttpError } from 'react-admin';
import { refusalOf } from '../access/http.js';

type Facts = NonNullable<Parameters<typeof refusalSentence>[1]>;

/** A refusal of the wire as sentences. */
export function sentenceOf({ code, facts }: WorkRefusalFacts, names?: RefusalNames): string {
  return refusalSentence(code, facts as Facts, names);
}

/** Does a deed on an order; where its rules refuse it, the reason is said as a sentence with the names of what is in the way. */
export async function byTheRules<T>(deed: Promise<T>, names?: RefusalNames): Promise<T> {
  try {
    return await deed;
  } catch (error) {
    const { status, problem } = refusalOf(error);
    if (!problem?.refusal) throw error;
    throw new HttpError(sentenceOf(problem.refusal, names), status, { problem: null });
  }
}
