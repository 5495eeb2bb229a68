import type { Condition } from './types.js';

/** Worn: one chance in four or more of failing within 90 days (common practice, no source). */
export const WORN_CHANCE_90 = 0.25;
/** Wearing: one chance in twelve or so of failing within 90 days ... (common practice, no source). */
export const WEARING_CHANCE_90 = 0.08;
/** ... or at least even odds of failing within a year (common practice, no source). */
export const WEARING_CHANCE_365 = 0.5;

/**
 * Condition of a part from its chances of failing within 90 and 365 days. 'unknown' is for parts without a
 * rating or duty; whoever knows of none says so without asking here.
 */
export function conditionOf(chance90: number, chance365: number): Condition {
  if (chance90 >= WORN_CHANCE_90) return 'worn';
  return chance90 >= WEARING_CHANCE_90 || chance365 >= WEARING_CHANCE_365 ? 'wearing' : 'sound';
}
