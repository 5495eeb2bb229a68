import { palette } from '@lintel/ui';
import { Box, Table, TableBody, TableCell, TableHead, TableRow, TableSortLabel, useMediaQuery } from '@mui/material';
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

const urgentRow = { boxShadow: `inset 5px 0 0 ${palette.signal}`, background: palette.signalSoft };

function Grid<R extends RaRecord>({ label, columns, records, href, sort, onSort, renderDeeds, urgent }: RecordTableProps<R>) {
  return (
    <Box sx={{ overflowX: 'auto' }} tabIndex={0} role="region" aria-label={label}>
      <Table size="small" aria-label={label}>
        <TableHead>
          <TableRow>
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

function Cards<R extends RaRecord>({ label, columns, records, href, renderDeeds, urgent }: RecordTableProps<R>) {
  const [head, ...rest] = columns;
  return (
    <Box component="ul" aria-label={label} sx={{ listStyle: 'none', margin: 0, padding: 0 }}>
      {records.map((record) => (
        <Box component="li" key={record.id} sx={{ padding: '10px 14px', borderTop: `1px solid ${palette.lineSoft}`, ...(urgent?.(record) ? urgentRow : {}) }}>
          {head ? <First record={record} column={head} href={href} /> : null}
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
