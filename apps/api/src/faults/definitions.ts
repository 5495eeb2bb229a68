import { fault, faultCode, faultCodeChange, faultCodeCreate, faultCodeList, faultList } from '@lintel/contract';
import { word } from '../platform/resource/codecs.js';
import type { ReadDefinition, WriteDefinition } from '../platform/resource/definition.js';

const room = 'faults';

export const faultCodes: WriteDefinition = {
  path: 'fault-codes', room, resource: 'fault-codes', subject: 'fault-code', view: 'fault_code_list', record: faultCode,
  list: faultCodeList, search: ['code', 'name', 'advice'],
  filterBy: { kind: { column: 'kindWord' } },
  model: 'faultCode',
  codecs: { kind: word },
  create: { schema: faultCodeCreate },
  change: { schema: faultCodeChange },
  archive: { usedBy: async () => null },
};

/** A fault is a fact: taken in by batches, never changed. */
export const faults: ReadDefinition = {
  path: 'faults', room, resource: 'faults', subject: 'fault', view: 'fault_list', record: fault, list: faultList,
  search: ['doorName', 'code', 'codeName', 'note'],
  filterBy: { kind: { column: 'kindWord' } },
};
