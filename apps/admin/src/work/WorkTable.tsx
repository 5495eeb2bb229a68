import type { WorkOrderRow } from '@lintel/contract';
import { WorkStateMark, formatMinutes, palette, workKindWords } from '@lintel/ui';
import { Box } from '@mui/material';
import type { ReactNode } from 'react';
import type { FilterWord } from '../common/Filters.js';
import { RecordList } from '../common/RecordList.js';
import type { Column } from '../common/RecordTable.js';
import { KindMark, PlannedDay, Progress, Technician } from './OrderFacts.js';
import { OrderDeeds } from './OrderDeeds.js';
import { orderLink, orderNumber } from './orderWords.js';

export const orderColumns: readonly Column<WorkOrderRow>[] = [
  { key: 'order', label: 'Order', sort: 'number', cell: (order) => `${orderNumber(order)}, ${order.title}` },
  { key: 'state', label: 'State', sort: 'state', cell: (order) => <WorkStateMark state={order.state} /> },
  { key: 'kind', label: 'Kind', sort: 'kind', wide: true, cell: (order) => <KindMark kind={order.kind} word={workKindWords[order.kind]} /> },
  {
    key: 'door',
    label: 'Door',
    sort: 'doorName',
    cell: (order) => (
      <>
        {order.doorName}
        <Box sx={{ color: palette.slate, fontSize: '0.88rem' }}>{order.siteName}</Box>
      </>
    ),
  },
  { key: 'day', label: 'Planned for', sort: 'plannedOn', cell: (order) => <PlannedDay order={order} /> },
  { key: 'technician', label: 'Technician', sort: 'technicianName', cell: (order) => <Technician order={order} /> },
  { key: 'minutes', label: 'Takes', sort: 'minutes', align: 'right', wide: true, cell: (order) => formatMinutes(order.minutes) },
  { key: 'progress', label: 'How it stands', cell: (order) => <Progress order={order} /> },
];

interface WorkTableProps {
  filters: readonly FilterWord[];
  mayPlan: boolean;
  add: ReactNode;
}

/** Every order as a list, closed ones too. */
export function WorkTable({ filters, mayPlan, add }: WorkTableProps) {
  return (
    <RecordList<WorkOrderRow>
      resource="work-orders"
      label="Work orders"
      columns={orderColumns}
      filters={filters}
      sort={{ field: 'number', order: 'DESC' }}
      href={(order) => orderLink(order.id)}
      urgent={(order) => order.overdue}
      everyMs={30_000}
      bulk={
        mayPlan
          ? { nameOf: (order) => `${orderNumber(order)}, ${order.title}`, renderDeeds: (chosen, clear) => <OrderDeeds orders={chosen} clear={clear} /> }
          : undefined
      }
      empty={{ title: 'No work orders yet', text: 'Orders are made from due work, from findings, or by hand.', action: add }}
    />
  );
}
