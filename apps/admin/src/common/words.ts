import type { DoorKind, Role } from '@lintel/contract';

export { partKindWords, removalWords } from '@lintel/ui';

/** Words of the wire as people read them, in one place for every page. */
export const roleWords: Record<Role, string> = {
  planner: 'Planner',
  technician: 'Technician',
  owner: 'Facility owner',
  administrator: 'Administrator',
};

export const kindWords: Record<DoorKind, string> = { freezer: 'Freezer door', cooler: 'Cooler door', dock: 'Dock door' };

export const temperatureWords: Record<'freezer' | 'cooler' | 'ambient' | 'outdoor', string> = {
  freezer: 'Freezer',
  cooler: 'Cooler',
  ambient: 'Ambient',
  outdoor: 'Outdoor',
};

/** `{id, name}` choices for a select from a table of words. */
export function choicesOf<K extends string>(words: Record<K, string>): { id: K; name: string }[] {
  return (Object.entries(words) as [K, string][]).map(([id, name]) => ({ id, name }));
}
