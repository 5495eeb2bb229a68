import { z } from 'zod';

/** Kinds of wearing parts and safety devices that a position can hold. */
export const partKinds = [
  'drive-motor',
  'frequency-converter',
  'control-board',
  'position-encoder',
  'home-switch',
  'drive-chain',
  'roller-bearings',
  'fabric-panel',
  'bottom-edge',
  'slack-switch-left',
  'slack-switch-right',
  'light-beam',
  'motion-sensor',
  'push-buttons',
  'sounder',
  'side-guides',
  'supply-isolator',
  'frame-heating',
  'frame-fans',
  'supply-temperature-sensor',
  'return-temperature-sensor',
] as const;

export const partKind = z.enum(partKinds);
export type PartKind = z.infer<typeof partKind>;
