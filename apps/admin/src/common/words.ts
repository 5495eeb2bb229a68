import type { DoorKind, PartKind, Role } from '@lintel/contract';

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

export const partKindWords: Record<PartKind, string> = {
  'drive-motor': 'Drive motor with brake',
  'frequency-converter': 'Frequency converter',
  'control-board': 'Control board',
  'position-encoder': 'Position encoder',
  'home-switch': 'Home switch',
  'drive-chain': 'Drive chain',
  'roller-bearings': 'Roller bearings',
  'fabric-panel': 'Fabric panel',
  'bottom-edge': 'Weighted bottom edge',
  'slack-switch-left': 'Slack switch, left',
  'slack-switch-right': 'Slack switch, right',
  'light-beam': 'Light beam',
  'motion-sensor': 'Motion sensor',
  'push-buttons': 'Push-buttons',
  sounder: 'Sounder',
  'side-guides': 'Side guides and seals',
  'supply-isolator': 'Supply isolator',
  'frame-heating': 'Frame heating',
  'frame-fans': 'Frame fans',
  'supply-temperature-sensor': 'Supply temperature sensor',
  'return-temperature-sensor': 'Return temperature sensor',
};

export const removalWords: Record<'failed' | 'worn' | 'preventive' | 'damaged' | 'upgraded' | 'entered-in-error', string> = {
  failed: 'Failed',
  worn: 'Worn out',
  preventive: 'Replaced before its end',
  damaged: 'Damaged from outside',
  upgraded: 'Replaced by a better one',
  'entered-in-error': 'Entered in error',
};

/** `{id, name}` choices for a select from a table of words. */
export function choicesOf<K extends string>(words: Record<K, string>): { id: K; name: string }[] {
  return (Object.entries(words) as [K, string][]).map(([id, name]) => ({ id, name }));
}
