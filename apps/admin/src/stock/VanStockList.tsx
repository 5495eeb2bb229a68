import type { PartKind, VanStock } from '@lintel/contract';
import { formatInstant } from '@lintel/ui';
import { Button } from '@mui/material';
import { useMay } from '../access/hooks.js';
import { PageHead } from '../common/Page.js';
import { RecordList } from '../common/RecordList.js';
import type { Column } from '../common/RecordTable.js';
import { useDialog } from '../common/useDialog.js';
import { choicesOf, partKindWords } from '../common/words.js';
import { Quantity } from './LowMark.js';
import { CountDialog } from './stockDialogs.js';

const columns: readonly Column<VanStock>[] = [
  { key: 'van', label: 'Van of', sort: 'technicianName', cell: ({ technicianName }) => technicianName },
  { key: 'part', label: 'Part', sort: 'code', cell: ({ code, partName }) => `${code} ${partName}` },
  { key: 'kind', label: 'Goes into', sort: 'kind', wide: true, cell: ({ kind }) => partKindWords[kind] },
  { key: 'quantity', label: 'Quantity', align: 'right', sort: 'quantity', cell: ({ quantity, low }) => <Quantity value={quantity} low={low} word="fewer than wanted" /> },
  { key: 'wanted', label: 'Wanted', align: 'right', cell: ({ perVan }) => perVan ?? '–' },
  { key: 'counted', label: 'Counted', wide: true, cell: ({ countedAt }) => formatInstant(countedAt) },
];

/** What lies in every van, and what is fewer there than wanted. */
export default function VanStockList() {
  const mayWrite = useMay('write', 'van-stock');
  const counting = useDialog<VanStock>();
  return (
    <>
      <PageHead title="Vans" up={{ to: '/stock-parts', word: 'Stock' }} facts={<span>What each van carries.</span>} />
      <RecordList<VanStock>
        resource="van-stock"
        label="Parts in the vans"
        columns={columns}
        filters={[
          { kind: 'text', field: 'q', label: 'Part or technician' },
          { kind: 'record', field: 'technicianId', label: 'Van of', resource: 'technicians' },
          { kind: 'choice', field: 'kind', label: 'Kind of part', choices: choicesOf<PartKind>(partKindWords) },
          { kind: 'choice', field: 'low', label: 'Quantity', choices: [{ id: 'true', name: 'Fewer than wanted' }, { id: 'false', name: 'As wanted' }] },
        ]}
        sort={{ field: 'technicianName', order: 'ASC' }}
        href={({ technicianId }) => `/technicians/${technicianId}/show`}
        urgent={({ low }) => low}
        renderDeeds={mayWrite ? (stock) => <Button size="small" onClick={() => counting.open(stock)} aria-label={`Count: ${stock.code} in the van of ${stock.technicianName}`}>Count</Button> : undefined}
        empty={{ title: 'Nothing is known of the vans', text: 'Load parts from the store, or add them on a technician’s page.' }}
      />
      {counting.subject ? <CountDialog stock={counting.subject} onClose={counting.close} /> : null}
    </>
  );
}
