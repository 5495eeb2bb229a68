/** What can be wrong with a door's history; each stands in the demo at least once. */
export const TROUBLES = [
  'rolled-over',
  'reset',
  'stuck',
  'mistyped',
  'early-failure',
  'overdue-inspection',
  'out-of-service',
  'new-counter',
  'misdated',
  'busier',
  'one-reading',
  'no-reading',
  'decommissioned',
] as const;
export type Trouble = (typeof TROUBLES)[number];

/** The trouble of the n-th of some doors; null: none. One door in seven has one, more where there are few doors. */
export function troubleOf(index: number, doors: number): Trouble | null {
  const spacing = Math.max(1, Math.min(7, Math.floor(doors / TROUBLES.length)));
  if (index % spacing !== spacing - 1) return null;
  return TROUBLES[Math.floor(index / spacing) % TROUBLES.length]!;
}
