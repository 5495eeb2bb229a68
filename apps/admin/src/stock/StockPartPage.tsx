import type { StockPart, VanStock } from '@lintel/contract';
import { formatInstant, formatMoney, partKindWords } from '@lintel/ui';
import { Button } from '@mui/material';
import { useGetOne } from 'react-admin';
import { Link, useParams } from 'react-router';
import { useMay } from '../access/hooks.js';
import { Trouble, Waiting } from '../common/faces.js';
import { Columns, Facts, PageHead, Panel } from '../common/Page.js';
import { RecordList } from '../common/RecordList.js';
import type { Column } from '../common/RecordTable.js';
import { useDialog } from '../common/useDialog.js';
import { Quantity } from './LowMark.js';
import { CountDialog, LoadDialog, StoreDialog } from './stockDialogs.js';

/** One part: what it is, how many the store has, and which vans carry it. */
export default function StockPartPage() {
  const { id = '' } = useParams();
  const { data: part, error, isPending, refetch } = useGetOne<StockPart>('stock-parts', { id });
  const mayWrite = useMay('write', 'stock-parts');
  const setting = useDialog<true>();
  const loading = useDialog<true>();
  if (error) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending || !part) return <Waiting what="the part" />;
  const deeds = mayWrite && !part.archived ? (
    <>
      <Button component={Link} to={`/stock-parts/${id}`} variant="outlined">Change</Button>
      <Button variant="outlined" onClick={() => setting.open(true)}>Set what is in the store</Button>
      <Button variant="contained" disabled={part.inStore === 0} onClick={() => loading.open(true)}>Load into a van</Button>
    </>
  ) : null;
  return (
    <>
      <PageHead title={`${part.code} ${part.name}`} up={{ to: '/stock-parts', word: 'Stock' }} actions={deeds} facts={<><span>{partKindWords[part.kind]}</span>{part.archived ? <span>not kept any more</span> : null}</>} />
      <Columns widths="minmax(0, 1fr) minmax(0, 2fr)">
        <Panel title="Part">
          <Facts rows={factsOf(part)} />
        </Panel>
        <Vans part={part} mayWrite={mayWrite && !part.archived} />
      </Columns>
      {setting.subject ? <StoreDialog part={part} onClose={setting.close} /> : null}
      {loading.subject ? <LoadDialog part={part} onClose={loading.close} /> : null}
    </>
  );
}

function factsOf({ inStore, low, inVans, lowAt, perVan, cost, currency, weightKg }: StockPart) {
  return [
    { term: 'In the store', value: <Quantity value={inStore} low={low} /> },
    { term: 'Low from', value: lowAt ?? 'not said' },
    { term: 'In all vans', value: inVans },
    { term: 'Wanted in a van', value: perVan ?? 'not said' },
    { term: 'Price of one', value: cost === null || currency === null ? 'not said' : formatMoney(cost, currency) },
    { term: 'Weight', value: weightKg === null ? 'not said' : `${weightKg} kg` },
  ];
}

const vanColumns: readonly Column<VanStock>[] = [
  { key: 'van', label: 'Van of', sort: 'technicianName', cell: ({ technicianName }) => technicianName },
  { key: 'quantity', label: 'Quantity', align: 'right', sort: 'quantity', cell: ({ quantity, low }) => <Quantity value={quantity} low={low} word="fewer than wanted" /> },
  { key: 'counted', label: 'Counted', wide: true, cell: ({ countedAt }) => formatInstant(countedAt) },
];

function Vans({ part, mayWrite }: { part: StockPart; mayWrite: boolean }) {
  const counting = useDialog<VanStock>();
  return (
    <Panel title="In the vans" flush>
      <RecordList<VanStock>
        resource="van-stock" label="Vans that carry it" inside fixed={{ partId: part.id }} sort={{ field: 'technicianName', order: 'ASC' }}
        href={({ technicianId }) => `/technicians/${technicianId}/show`} urgent={({ low }) => low}
        columns={vanColumns}
        empty={{ title: 'No van carries it', text: 'Load some from the store.' }}
        renderDeeds={mayWrite ? (stock) => <Button size="small" onClick={() => counting.open(stock)} aria-label={`Count: van of ${stock.technicianName}`}>Count</Button> : undefined}
      />
      {counting.subject ? <CountDialog stock={counting.subject} onClose={counting.close} /> : null}
    </Panel>
  );
}
