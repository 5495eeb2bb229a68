import type { PartKind, StockPart } from '@lintel/contract';
import { Button } from '@mui/material';
import { Link } from 'react-router';
import { useMay } from '../access/hooks.js';
import { archiveFilter } from '../common/archive.js';
import { PageHead } from '../common/Page.js';
import { RecordList } from '../common/RecordList.js';
import type { Column } from '../common/RecordTable.js';
import { useDialog } from '../common/useDialog.js';
import { choicesOf, partKindWords } from '../common/words.js';
import { Quantity } from './LowMark.js';
import { LoadDialog, StoreDialog } from './stockDialogs.js';

const columns: readonly Column<StockPart>[] = [
  { key: 'part', label: 'Part', sort: 'code', cell: ({ code, name }) => `${code} ${name}` },
  { key: 'kind', label: 'Goes into', sort: 'kind', cell: ({ kind }) => partKindWords[kind] },
  { key: 'store', label: 'In the store', align: 'right', sort: 'inStore', cell: ({ inStore, low }) => <Quantity value={inStore} low={low} /> },
  { key: 'low', label: 'Low from', align: 'right', wide: true, cell: ({ lowAt }) => lowAt ?? '–' },
  { key: 'vans', label: 'In all vans', align: 'right', sort: 'inVans', cell: ({ inVans }) => inVans },
  { key: 'per', label: 'Wanted in a van', align: 'right', wide: true, cell: ({ perVan }) => perVan ?? '–' },
];

const lowFilter = { kind: 'choice', field: 'low', label: 'Store', choices: [{ id: 'true', name: 'Low' }, { id: 'false', name: 'Not low' }] } as const;

/** What the company keeps of each part: in its store and in its vans, and what is low. */
export default function StockPage() {
  const mayWrite = useMay('write', 'stock-parts');
  const counting = useDialog<StockPart>();
  const loading = useDialog<StockPart>();
  const add = mayWrite ? <Button component={Link} to="/stock-parts/create" variant="contained">Add a part</Button> : null;
  return (
    <>
      <PageHead
        title="Stock" facts={<span>What lies in the company’s store and in its vans.</span>}
        actions={<><Button component={Link} to="/van-stock" variant="outlined">Van by van</Button>{add}</>}
      />
      <RecordList<StockPart>
        resource="stock-parts"
        label="Parts in stock"
        columns={columns}
        filters={[
          { kind: 'text', field: 'q', label: 'Code or name' },
          { kind: 'choice', field: 'kind', label: 'Kind of part', choices: choicesOf<PartKind>(partKindWords) },
          lowFilter,
          archiveFilter,
        ]}
        filterDefaults={{ archived: 'false' }}
        sort={{ field: 'code', order: 'ASC' }}
        href={({ id }) => `/stock-parts/${id}/show`}
        urgent={({ low }) => low}
        renderDeeds={mayWrite ? (part) => (part.archived ? null : (
          <>
            <Button size="small" onClick={() => counting.open(part)} aria-label={`Set what is in the store: ${part.code}`}>Set</Button>
            <Button size="small" disabled={part.inStore === 0} onClick={() => loading.open(part)} aria-label={`Load into a van: ${part.code}`}>Load</Button>
          </>
        )) : undefined}
        empty={{ title: 'No part is kept in stock', text: 'Add the parts that store and vans carry, so that plans can say what is missing.', action: add }}
      />
      {counting.subject ? <StoreDialog part={counting.subject} onClose={counting.close} /> : null}
      {loading.subject ? <LoadDialog part={loading.subject} onClose={loading.close} /> : null}
    </>
  );
}
