import type { FittedPart, PartKind } from '@lintel/contract';

/** Words of doors and parts that every page shares. */
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

export const removalWords: Record<NonNullable<FittedPart['removalReason']>, string> = {
  failed: 'Failed',
  worn: 'Worn out',
  preventive: 'Replaced before its end',
  damaged: 'Damaged from outside',
  upgraded: 'Replaced by a better one',
  'entered-in-error': 'Entered in error',
};
