import type { WorkKind } from './types.js';

/**
 * Confirmed before work that reaches into a door. Order of OSHA 29 CFR 1910.147(d): prepare, shut down, isolate, lock and tag,
 * relieve or restrain stored energy, verify.
 */
export const isolateFirst: readonly string[] = [
  "Local codes, the maker's manual and licensed trades come first; read them for this door.",
  'People kept out of the opening; door closed off on both sides.',
  'Shut down, isolated at the supply isolator, locked and tagged.',
  'Panel secured against falling; stored energy relieved or restrained.',
  'Proved dead: tester proved before and after. Drives hold charge: wait as the maker says.',
];

/** Confirmed before tests that need the door under power; common practice, no source. */
export const testUnderPower: readonly string[] = [
  "Local codes, the maker's manual and licensed trades come first; read them for this door.",
  'Door closed off on both sides; nobody but the tester near the opening.',
];

const known = new Set([...isolateFirst, ...testUnderPower]);

/** Is this the text of a caution, though its checklist was written before steps could say so? */
export const isStandardCaution = (text: string): boolean => known.has(text);

/** The cautions of a kind of work whose checklist has none. */
export function cautionsOf(kind: WorkKind): readonly string[] {
  return kind === 'inspection' || kind === 'commissioning' ? testUnderPower : isolateFirst;
}
