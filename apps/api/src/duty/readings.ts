import { reading, readingList } from '@lintel/contract';
import type { ReadDefinition } from '../platform/resource/definition.js';

export const readings: ReadDefinition = {
  path: 'readings', room: 'duty', resource: 'readings', subject: 'reading', view: 'reading_list', record: reading,
  list: readingList, search: [],
};
