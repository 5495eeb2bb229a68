import { palette } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { ListBase, useListContext } from 'react-admin';
import type { RaRecord } from 'react-admin';
import type { ReactNode } from 'react';
import { Filters, anyFilter } from './Filters.js';
import type { FilterWord } from './Filters.js';
import { Nothing, Trouble, WaitingRows } from './faces.js';
import { Pager } from './Pager.js';
import { RecordTable } from './RecordTable.js';
import type { Column, Selection } from './RecordTable.js';

export interface EmptyWords {
  title: string;
  text: string;
  action?: ReactNode;
}

/** Deeds on many records at once. */
export interface Bulk<R extends RaRecord> {
  /** What can be done with the records chosen; nothing is drawn while none is. */
  renderDeeds: (chosen: readonly R[], clear: () => void) => ReactNode;
  nameOf: (record: R) => string;
  may?: (record: R) => boolean;
}

export interface RecordListProps<R extends RaRecord> {
  resource: string;
  label: string;
  columns: readonly Column<R>[];
  sort: { field: string; order: 'ASC' | 'DESC' };
  empty: EmptyWords;
  filters?: readonly FilterWord[];
  filterDefaults?: Record<string, unknown>;
  /** What stands between the filters and the rows, and goes by the filters too. */
  above?: ReactNode;
  /** Holds whatever the reader filters by. */
  fixed?: Record<string, unknown>;
  href?: (record: R) => string;
  renderDeeds?: ((record: R) => ReactNode) | undefined;
  urgent?: (record: R) => boolean;
  bulk?: Bulk<R> | undefined;
  perPage?: number;
  /** Inside another page: sort and filters stay out of the address. */
  inside?: boolean;
  everyMs?: number | false;
}

/** A list from the server with its filters, its order, its pages and all its faces. */
export function RecordList<R extends RaRecord>(props: RecordListProps<R>) {
  const { resource, sort, fixed, filterDefaults, perPage = 50, inside = false, everyMs = false } = props;
  return (
    <ListBase
      resource={resource}
      sort={sort}
      perPage={perPage}
      exporter={false}
      disableSyncWithLocation={inside}
      storeKey={inside ? false : `${resource}.list`}
      {...(fixed ? { filter: fixed } : {})}
      {...(filterDefaults ? { filterDefaultValues: filterDefaults } : {})}
      queryOptions={{ refetchInterval: everyMs, retry: 1 }}
    >
      <ListBody {...props} />
    </ListBase>
  );
}

function ListBody<R extends RaRecord>(props: RecordListProps<R>) {
  const { filters } = props;
  return (
    <Box>
      {filters ? <Filters words={filters} /> : null}
      {props.above}
      <Box sx={{ border: props.inside ? 'none' : `1px solid ${palette.line}`, borderRadius: '3px', background: palette.paper }}>
        <ListRows {...props} />
      </Box>
    </Box>
  );
}

function ListRows<R extends RaRecord>({ label, columns, empty, href, renderDeeds, urgent, inside, bulk, filterDefaults = {} }: RecordListProps<R>) {
  const context = useListContext<R>();
  const { data, error, isPending, refetch, sort, setSort, filterValues, setFilters, page, hasNextPage } = context;
  if (error) {
    return (
      <Box sx={{ padding: 2 }}>
        <Trouble error={error} again={() => void refetch()} />
      </Box>
    );
  }
  if (isPending) return <WaitingRows />;
  if (!data || data.length === 0) {
    if (!anyFilter(filterValues)) return <Nothing title={empty.title} action={empty.action}>{empty.text}</Nothing>;
    return (
      <Nothing title="Nothing matches" action={<Button variant="outlined" onClick={() => setFilters(filterDefaults)}>Clear the filters</Button>}>
        No entry fits all the filters above.
      </Nothing>
    );
  }
  const selection = bulk ? selectionOf(context, bulk) : undefined;
  const onePage = inside && page === 1 && !hasNextPage;
  return (
    <>
      {bulk && selection ? <BulkBar bulk={bulk} records={data} ids={selection.ids} clear={context.onUnselectItems} /> : null}
      <RecordTable
        label={label}
        columns={columns}
        records={data}
        href={href}
        renderDeeds={renderDeeds}
        urgent={urgent}
        selection={selection}
        sort={sort}
        onSort={(field) => setSort({ field, order: sort.field === field && sort.order === 'ASC' ? 'DESC' : 'ASC' })}
      />
      {onePage ? null : <Pager />}
    </>
  );
}

type ListContext<R extends RaRecord> = Pick<ReturnType<typeof useListContext<R>>, 'data' | 'selectedIds' | 'onToggleItem' | 'onSelect'>;

/** Only what is shown can be chosen: nobody should change what they do not see. */
function selectionOf<R extends RaRecord>({ data = [], selectedIds, onToggleItem, onSelect }: ListContext<R>, { nameOf, may = () => true }: Bulk<R>): Selection<R> {
  const shown = data.filter(may).map(({ id }) => id);
  return {
    ids: selectedIds.filter((id) => shown.includes(id)),
    toggle: onToggleItem,
    all: (chosen) => onSelect(chosen ? shown : []),
    may,
    nameOf,
  };
}

function BulkBar<R extends RaRecord>({ bulk, records, ids, clear }: { bulk: Bulk<R>; records: readonly R[]; ids: readonly RaRecord['id'][]; clear: () => void }) {
  const chosen = records.filter(({ id }) => ids.includes(id));
  if (chosen.length === 0) return null;
  return (
    <Box
      role="toolbar"
      aria-label="With those chosen"
      sx={{ position: 'sticky', top: 0, zIndex: 2, display: 'flex', flexWrap: 'wrap', alignItems: 'center', gap: 1, padding: '7px 12px', background: palette.iceSoft, borderBottom: `1px solid ${palette.line}` }}
    >
      <strong>{chosen.length} chosen</strong>
      {bulk.renderDeeds(chosen, clear)}
      <Button size="small" onClick={clear}>
        Choose none
      </Button>
    </Box>
  );
}
