import type { Verdict } from '@lintel/engine';
import { z } from 'zod';

export const verdicts = [
  'used',
  'used-rollover',
  'used-reset',
  'duplicate',
  'out-of-order',
  'too-fast',
  'mistyped',
  'stuck',
  'set-aside',
] as const satisfies readonly Verdict[];

/** What became of a reading; `pending` until the next projection has seen it. */
export const verdict = z.enum([...verdicts, 'pending']);
