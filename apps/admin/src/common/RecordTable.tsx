import { palette } from '@lintel/ui';
import { Box, Checkbox, Table, TableBody, TableCell, TableHead, TableRow, TableSortLabel, useMediaQuery } from '@mui/material';
import type { Theme } from '@mui/material';
import type { ReactNode } from 'react';
import type { RaRecord } from 'react-admin';
import { Link } from 'react-router';

export interface Column<R> {
  key: string;
  label: string;
  cell: (record: R) => ReactNode;
  /** Field that the server sorts by. */
  sort?: string;
  align?: 'right';
  /** Left out on a tablet. */
  wide?: boolean;
}

export interface SortBy {
  field: string;
  order: string;
}

/** Which of the records shown are chosen, for a deed on many at once. */
export interface Selection<R> {
  ids: readonly RaRecord['id'][];
  toggle: (id: RaRecord['id']) => void;
  /** Chooses all that are shown and may be chosen, or none. */
  all: (chosen: boolean) => void;
  may: (record: R) => boolean;
  nameOf: (record: R) => string;
}

interface RecordTableProps<R extends RaRecord> {
  label: string;
  columns: readonly Column<R>[];
  records: readonly R[];
  /** Where a record's first cell leads. */
  href?: ((record: R) => string) | undefined;
  sort?: SortBy | undefined;
  onSort?: ((field: string) => void) | undefined;
  /** Deeds on one record, at the end of its row. */
  renderDeeds?: ((record: R) => ReactNode) | undefined;
  /** Rows that must be acted on stand out. */
  urgent?: ((record: R) => boolean) | undefined;
  selection?: Selection<R> | undefined;
}

/** Rows and columns on a wide screen; on a phone one card a record, so that nothing has to be scrolled sideways. */
export function RecordTable<R extends RaRecord>(props: RecordTableProps<R>) {
  const phone = useMediaQuery((theme: Theme) => theme.breakpoints.down('sm'));
  const tablet = useMediaQuery((theme: Theme) => theme.breakpoints.down('lg'));
  const columns = tablet ? props.columns.filter((column) => !column.wide) : props.columns;
  return phone ? <Cards {...props} columns={columns} /> : <Grid {...props} columns={columns} />;
}

function First<R extends RaRecord>({ record, column, href }: { record: R; column: Column<R>; href: RecordTableProps<R>['href'] }) {
  if (!href) return <Box sx={{ fontWeight: 650 }}>{column.cell(record)}</Box>;
  return (
    <Box component={Link} to={href(record)} sx={{ color: palette.ink, fontWeight: 650, textDecorationColor: palette.slateSoft, textUnderlineOffset: '3px' }}>
      {column.cell(record)}
    </Box>
  );
}

function Tick<R extends RaRecord>({ record, selection }: { record: R; selection: Selection<R> }) {
  return (
    <Checkbox
      size="small"
      checked={selection.ids.includes(record.id)}
      disabled={!selection.may(record)}
      onChange={() => selection.toggle(record.id)}
      slotProps={{ input: { 'aria-label': `Choose ${selection.nameOf(record)}` } }}
      sx={{ padding: '4px' }}
    />
  );
}

function TickAll<R extends RaRecord>({ records, selection }: { records: readonly R[]; selection: Selection<R> }) {
  const open = records.filter(selection.may);
  const chosen = open.filter(({ id }) => selection.ids.includes(id));
  return (
    <Checkbox
      size="small"
      checked={open.length > 0 && chosen.length === open.length}
      indeterminate={chosen.length > 0 && chosen.length < open.length}
      disabled={open.length === 0}
      onChange={(event) => selection.all(event.target.checked)}
      slotProps={{ input: { 'aria-label': 'Choose all that are shown' } }}
      sx={{ padding: '4px' }}
    />
  );
}

const urgentRow = { boxShadow: `inset 5px 0 0 ${palette.signal}`, background: palette.signalSoft };

function Grid<R extends RaRecord>({ label, columns, records, href, sort, onSort, renderDeeds, urgent, selection }: RecordTableProps<R>) {
  return (
    <Box sx={{ overflowX: 'auto' }} tabIndex={0} role="region" aria-label={label}>
      <Table size="small" aria-label={label}>
        <TableHead>
          <TableRow>
            {selection ? (
              <TableCell padding="checkbox">
                <TickAll records={records} selection={selection} />
              </TableCell>
            ) : null}
            {columns.map((column) => (
              <TableCell
                key={column.key}
                align={column.align ?? 'left'}
                sortDirection={sort && sort.field === column.sort ? direction(sort) : false}
              >
                {column.sort && onSort ? (
                  <TableSortLabel
                    active={sort?.field === column.sort}
                    direction={sort?.field === column.sort && sort ? direction(sort) : 'asc'}
                    onClick={() => onSort(column.sort ?? '')}
                  >
                    {column.label}
                  </TableSortLabel>
                ) : (
                  column.label
                )}
              </TableCell>
            ))}
            {renderDeeds ? <TableCell align="right">Actions</TableCell> : null}
          </TableRow>
        </TableHead>
        <TableBody>
          {records.map((record) => (
            <TableRow key={record.id} hover sx={urgent?.(record) ? urgentRow : undefined}>
              {selection ? (
                <TableCell padding="checkbox">
                  <Tick record={record} selection={selection} />
                </TableCell>
              ) : null}
              {columns.map((column, index) => (
                <TableCell key={column.key} align={column.align ?? 'left'}>
                  {index === 0 ? <First record={record} column={column} href={href} /> : column.cell(record)}
                </TableCell>
              ))}
              {renderDeeds ? (
                <TableCell align="right" sx={{ whiteSpace: 'nowrap' }}>
                  {renderDeeds(record)}
                </TableCell>
              ) : null}
            </TableRow>
          ))}
        </TableBody>
      </Table>
    </Box>
  );
}

function direction(sort: SortBy): 'asc' | 'desc' {
  return sort.order === 'DESC' ? 'desc' : 'asc';
}

function Cards<R extends RaRecord>({ label, columns, records, href, renderDeeds, urgent, selection }: RecordTableProps<R>) {
  const [head, ...rest] = columns;
  return (
    <Box component="ul" aria-label={label} sx={{ listStyle: 'none', margin: 0, padding: 0 }}>
      {records.map((record) => (
        <Box component="li" key={record.id} sx={{ padding: '10px 14px', borderTop: `1px solid ${palette.lineSoft}`, ...(urgent?.(record) ? urgentRow : {}) }}>
          <Box sx={{ display: 'flex', alignItems: 'flex-start', gap: 0.5 }}>
            {selection ? <Tick record={record} selection={selection} /> : null}
            <Box sx={{ minWidth: 0 }}>{head ? <First record={record} column={head} href={href} /> : null}</Box>
          </Box>
          <Box sx={{ display: 'grid', gridTemplateColumns: 'minmax(96px, 36%) minmax(0, 1fr)', gap: '2px 14px', marginTop: 0.4 }}>
            {rest.map((column) => (
              <Box key={column.key} sx={{ display: 'contents' }}>
                <Box sx={{ color: palette.slate }}>{column.label}</Box>
                <Box sx={{ minWidth: 0, overflowWrap: 'anywhere' }}>{column.cell(record)}</Box>
              </Box>
            ))}
          </Box>
          {renderDeeds ? <Box sx={{ marginTop: 0.8 }}>{renderDeeds(record)}</Box> : null}
        </Box>
      ))}
    </Box>
  );
}
