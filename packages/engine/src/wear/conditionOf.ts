import type { Condition } from './types.js';

/** Worn: one chance in seven or so of failing within 90 days, or even odds within a year (common practice, no source). */
export const WORN_CHANCE_90 = 0.15;
export const WORN_CHANCE_365 = 0.5;
/** Wearing: one chance in twenty within 90 days, or one in four within a year (common practice, no source). */
export const WEARING_CHANCE_90 = 0.05;
export const WEARING_CHANCE_365 = 0.25;

/**
 * Condition of a part from its chances of failing within 90 and 365 days. 'unknown' is for parts without a
 * rating or duty; whoever knows of none says so without asking here.
 */
export function conditionOf(chance90: number, chance365: number): Condition {
  if (chance90 >= WORN_CHANCE_90 || chance365 >= WORN_CHANCE_365) return 'worn';
  return chance90 >= WEARING_CHANCE_90 || chance365 >= WEARING_CHANCE_365 ? 'wearing' : 'sound';
}
