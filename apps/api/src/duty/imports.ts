import { fileImport, importList, importRefusal, importRefusalList } from '@lintel/contract';
import type { ReadDefinition } from '../platform/resource/definition.js';

const room = 'duty';

export const imports: ReadDefinition = {
  path: 'imports', room, resource: 'imports', subject: 'import', view: 'import_list', record: fileImport, list: importList,
  search: ['fileName'],
};

export const refusals: ReadDefinition = {
  path: 'imports/:id/refusals', room, resource: 'imports', subject: 'import-refusal', view: 'import_refusal_list',
  record: importRefusal, list: importRefusalList, search: [], ties: ['line', 'field'],
};
