import {
  finding, findingList, manual, manualChange, manualCreate, manualList, workOrder, workOrderList,
} from '@lintel/contract';
import type { ReadDefinition, WriteDefinition } from '../platform/resource/definition.js';

const room = 'work';

export const workOrders: ReadDefinition = {
  path: 'work-orders', room, resource: 'work-orders', subject: 'work-order', view: 'work_order_list', record: workOrder,
  list: workOrderList, search: ['title', 'doorName', 'siteName'],
  filterBy: { state: { column: 'stateWord' }, kind: { column: 'kindWord' }, origin: { column: 'originWord' } },
};

export const findings: ReadDefinition = {
  path: 'findings', room, resource: 'findings', subject: 'finding', view: 'finding_list', record: finding, list: findingList,
  search: ['text', 'doorName', 'siteName'],
  filterBy: { severity: { column: 'severityWord' } },
};

export const manuals: WriteDefinition = {
  path: 'manuals', room, resource: 'manuals', subject: 'manual', view: 'manual_list', record: manual, list: manualList,
  search: ['title', 'body'],
  model: 'manual',
  create: { schema: manualCreate },
  change: { schema: manualChange },
  archive: { usedBy: async () => null },
};
