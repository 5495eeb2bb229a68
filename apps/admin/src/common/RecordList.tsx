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
import type { Column } from './RecordTable.js';

export interface EmptyWords {
  title: string;
  text: string;
  action?: ReactNode;
}

interface RecordListProps<R extends RaRecord> {
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
  renderDeeds?: (record: R) => ReactNode;
  urgent?: (record: R) => boolean;
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

function ListRows<R extends RaRecord>({ label, columns, empty, href, renderDeeds, urgent, inside, filterDefaults = {} }: RecordListProps<R>) {
  const { data, error, isPending, refetch, sort, setSort, filterValues, setFilters, page, hasNextPage } = useListContext<R>();
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
  const onePage = inside && page === 1 && !hasNextPage;
  return (
    <>
      <RecordTable
        label={label}
        columns={columns}
        records={data}
        href={href}
        renderDeeds={renderDeeds}
        urgent={urgent}
        sort={sort}
        onSort={(field) => setSort({ field, order: sort.field === field && sort.order === 'ASC' ? 'DESC' : 'ASC' })}
      />
      {onePage ? null : <Pager />}
    </>
  );
}
