import { FAULT_KINDS } from '@lintel/engine';
import { z } from 'zod';
import type { PartKind } from '../fleet/partKinds.js';
import { id, instant, name, text, version } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';

export const faultKind = z.enum(FAULT_KINDS);
export type FaultKind = z.infer<typeof faultKind>;

/** What a part's change repairs: the kind under which faults of that part are filed. A choice of this project, no source. */
export const faultKindOfPart: Record<PartKind, FaultKind> = {
  'drive-motor': 'drive',
  'frequency-converter': 'drive',
  'control-board': 'communication',
  'position-encoder': 'position-sensing',
  'home-switch': 'position-sensing',
  'drive-chain': 'mechanical',
  'roller-bearings': 'mechanical',
  'fabric-panel': 'mechanical',
  'bottom-edge': 'safety-device',
  'slack-switch-left': 'safety-device',
  'slack-switch-right': 'safety-device',
  'light-beam': 'safety-device',
  'motion-sensor': 'activation',
  'push-buttons': 'activation',
  sounder: 'safety-device',
  'side-guides': 'mechanical',
  'supply-isolator': 'supply',
  'frame-heating': 'heating',
  'frame-fans': 'heating',
  'supply-temperature-sensor': 'heating',
  'return-temperature-sensor': 'heating',
};

/** A code of the company's own catalogue. */
export const faultCode = z.object({
  id,
  code: z.string(),
  name: z.string(),
  kind: faultKind,
  advice: z.string().nullable(),
  archived: z.boolean(),
  archivedAt: instant.nullable(),
  version,
}).meta({ id: 'FaultCode' });
export type FaultCode = z.infer<typeof faultCode>;

export const codeWord = z.string().trim().min(1).max(40);

const fields = { code: codeWord, name, kind: faultKind, advice: text.nullable().optional() };
export const faultCodeCreate = z.strictObject(fields).meta({ id: 'FaultCodeCreate' });
/** The code itself stays: what doors reported under it would otherwise change its meaning. */
export const faultCodeChange = z.strictObject(fields).omit({ code: true }).partial().meta({ id: 'FaultCodeChange' });
export type FaultCodeCreate = z.infer<typeof faultCodeCreate>;
export type FaultCodeChange = z.infer<typeof faultCodeChange>;

export const faultCodeList: ListWords = {
  filters: { id, kind: faultKind, archived: flag },
  ranges: {},
  sorts: ['code', 'name', 'kind'],
  defaultSort: 'code',
  search: true,
};
