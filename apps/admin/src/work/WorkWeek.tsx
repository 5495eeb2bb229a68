import type { WorkOrderRow } from '@lintel/contract';
import { formatDateRange, formatMinutes, palette } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { useState } from 'react';
import { useGetList, useListContext } from 'react-admin';
import { Trouble, WaitingRows } from '../common/faces.js';
import { useToday } from '../common/now.js';
import { OrderCard } from './OrderCard.js';
import { addDays, dayWords, mondayOf } from './week.js';

const mostCards = 100;

/** The orders of one week, a column a day, and those that have no day yet. */
export function WorkWeek() {
  const today = useToday();
  const [monday, setMonday] = useState(() => mondayOf(today));
  const { filterValues } = useListContext();
  const { plannedOnFrom: _from, plannedOnTo: _to, ...filter } = filterValues as Record<string, unknown>;
  const days = Array.from({ length: 7 }, (_, index) => addDays(monday, index));
  return (
    <Box>
      <Box role="toolbar" aria-label="Week shown" sx={{ display: 'flex', flexWrap: 'wrap', gap: 1, alignItems: 'center', marginBottom: 1 }}>
        <Button variant="outlined" onClick={() => setMonday(addDays(monday, -7))}>Week before</Button>
        <Button variant="outlined" onClick={() => setMonday(mondayOf(today))} disabled={monday === mondayOf(today)}>This week</Button>
        <Button variant="outlined" onClick={() => setMonday(addDays(monday, 7))}>Week after</Button>
        <Box component="h2" aria-live="polite" sx={{ margin: 0, fontSize: '1.08rem' }}>{formatDateRange(monday, addDays(monday, 6))}</Box>
      </Box>
      <Box sx={{ display: 'grid', gap: 1, gridTemplateColumns: { xs: 'minmax(0, 1fr)', lg: 'repeat(7, minmax(0, 1fr))' }, alignItems: 'start' }}>
        {days.map((day) => (
          <Day key={day} day={day} isToday={day === today} filter={filter} />
        ))}
      </Box>
      <Undated filter={filter} />
    </Box>
  );
}

function useOrders(filter: Record<string, unknown>, sort: string) {
  return useGetList<WorkOrderRow>(
    'work-orders',
    { filter, pagination: { page: 1, perPage: mostCards }, sort: { field: sort, order: 'ASC' } },
    { refetchInterval: 30_000 },
  );
}

function Day({ day, isToday, filter }: { day: string; isToday: boolean; filter: Record<string, unknown> }) {
  const { data = [], pageInfo, error, isPending, refetch } = useOrders({ ...filter, plannedOnFrom: day, plannedOnTo: day }, 'plannedStart');
  const cutOff = pageInfo?.hasNextPage === true;
  const orders = filter['state'] ? data : data.filter(({ state }) => state !== 'cancelled');
  const minutes = orders.reduce((sum, order) => sum + order.minutes, 0);
  return (
    <Box component="section" aria-label={dayWords(day)} sx={{ background: palette.frostDeep, border: `1px solid ${isToday ? palette.ink : palette.line}`, borderTopWidth: isToday ? 4 : 1, borderRadius: '3px', minWidth: 0 }}>
      <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: '0 8px', padding: '6px 9px 4px', alignItems: 'baseline' }}>
        <Box component="h3" sx={{ margin: 0, fontSize: '0.95rem' }}>{dayWords(day)}{isToday ? ', today' : ''}</Box>
        <Box component="span" sx={{ color: palette.inkSoft, fontSize: '0.88rem' }}>{orders.length > 0 ? `${cutOff ? `the first ${orders.length}` : orders.length}, ${formatMinutes(minutes)}` : ''}</Box>
      </Box>
      {error ? (
        <Box sx={{ padding: 1 }}>
          <Trouble error={error} again={() => void refetch()} />
        </Box>
      ) : isPending ? (
        <WaitingRows rows={2} />
      ) : (
        <Box component="ul" sx={{ listStyle: 'none', margin: 0, padding: '2px 5px 5px', display: 'grid', gap: 0.6, gridTemplateColumns: { xs: 'minmax(0, 1fr)', sm: 'repeat(2, minmax(0, 1fr))', lg: 'minmax(0, 1fr)' } }}>
          {orders.map((order) => (
            <OrderCard key={order.id} order={order} without="day" />
          ))}
          {orders.length === 0 && !cutOff ? <Box component="li" sx={{ color: palette.slate, padding: '0 4px 6px' }}>free</Box> : null}
          {cutOff ? <More /> : null}
        </Box>
      )}
    </Box>
  );
}

/** What still needs a day: planned and released orders. */
function Undated({ filter }: { filter: Record<string, unknown> }) {
  const { data = [], pageInfo, error, isPending, refetch } = useOrders({ state: 'planned,released', ...filter, dated: 'false' }, 'number');
  return (
    <Box component="section" aria-label="Without a day" sx={{ marginTop: 1.5, background: palette.paper, border: `1px dashed ${palette.slateSoft}`, borderRadius: '3px' }}>
      <Box component="h2" sx={{ margin: 0, fontSize: '1.08rem', padding: '8px 12px 4px' }}>
        Without a day{data.length > 0 ? ` (${data.length}${pageInfo?.hasNextPage ? ' and more' : ''})` : ''}
      </Box>
      {error ? (
        <Box sx={{ padding: 1 }}>
          <Trouble error={error} again={() => void refetch()} />
        </Box>
      ) : isPending ? (
        <WaitingRows rows={2} />
      ) : data.length === 0 ? (
        <Box sx={{ color: palette.slate, padding: '0 12px 12px' }}>Every open order has its day.</Box>
      ) : (
        <Box component="ul" sx={{ listStyle: 'none', margin: 0, padding: '4px 8px 10px', display: 'grid', gap: 0.75, gridTemplateColumns: 'repeat(auto-fill, minmax(min(100%, 250px), 1fr))' }}>
          {data.map((order) => (
            <OrderCard key={order.id} order={order} without="day" />
          ))}
          {pageInfo?.hasNextPage ? <More /> : null}
        </Box>
      )}
    </Box>
  );
}

/** The week shows so many cards and no more; nobody should take them for all. */
function More() {
  return <Box component="li" sx={{ color: palette.signalDeep, fontWeight: 650, padding: '0 4px 6px' }}>More than {mostCards}: see the rest in the list, or narrow the filters.</Box>;
}
