import { ledgerEntry, ledgerList } from '@lintel/contract';
import type { ReadDefinition } from '../platform/resource/definition.js';
import { listRoute } from '../platform/resource/routes.js';
import { LedgerController } from './ledger.controller.js';
import { LogBookController } from './logBook.controller.js';

export const ledger: ReadDefinition = {
  path: 'ledger', room: 'ledger', resource: 'ledger', subject: 'ledger-entry', view: 'ledger_list', record: ledgerEntry,
  list: ledgerList, search: [],
};

export const ledgerRoom = { controllers: [listRoute(ledger), LedgerController, LogBookController], providers: [] };
