import type { LedgerEntry } from '@lintel/contract';
import { formatInstant } from '@lintel/ui';
import { Panel } from '../common/Page.js';
import { RecordList } from '../common/RecordList.js';
import { actionWords, detailWords } from '../ledger/ledgerWords.js';

/** Who did what with this order, newest first. */
export function OrderLedgerPanel({ orderId, timeZone }: { orderId: string; timeZone: string }) {
  return (
    <Panel title="Ledger of the order" flush>
      <RecordList<LedgerEntry>
        resource="ledger"
        label="Ledger of the order"
        columns={[
          { key: 'at', label: 'When', cell: (entry) => formatInstant(entry.at, timeZone) },
          { key: 'who', label: 'Who', cell: (entry) => entry.accountName ?? entry.actor },
          { key: 'action', label: 'Did what', cell: (entry) => actionWords(entry.action) },
          { key: 'detail', label: 'Details', cell: (entry) => detailWords(entry.detail) || '–' },
        ]}
        fixed={{ subjectKind: 'work-order', subjectId: orderId }}
        sort={{ field: 'at', order: 'DESC' }}
        perPage={25}
        inside
        empty={{ title: 'Nothing yet', text: 'Every change of the order is written here.' }}
      />
    </Panel>
  );
}
