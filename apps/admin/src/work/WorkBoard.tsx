import type { WorkOrderRow } from '@lintel/contract';
import { WorkStateMark, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { useGetList, useListContext } from 'react-admin';
import { Trouble, WaitingRows } from '../common/faces.js';
import { OrderCard } from './OrderCard.js';

const usual = ['planned', 'released', 'started', 'completed'] as const;
type State = WorkOrderRow['state'];
const mostCards = 40;

/** Orders by state, the next ones to do first; a column a state. Closed ones are shown when they are asked for. */
export function WorkBoard() {
  const { filterValues } = useListContext();
  const { state, ...rest } = filterValues as { state?: State } & Record<string, unknown>;
  const states: readonly State[] = state ? [state] : usual;
  return (
    <Box sx={{ display: 'grid', gap: 1.5, gridTemplateColumns: { xs: 'minmax(0, 1fr)', sm: `repeat(${Math.min(2, states.length)}, minmax(0, 1fr))`, lg: `repeat(${states.length}, minmax(0, 1fr))` }, alignItems: 'start' }}>
      {states.map((one) => (
        <Column key={one} state={one} filter={rest} wide={states.length === 1} />
      ))}
    </Box>
  );
}

const order = (state: State) => (state === 'planned' || state === 'released' ? { field: 'plannedOn', order: 'ASC' as const } : { field: 'number', order: 'DESC' as const });

function Column({ state, filter, wide }: { state: State; filter: Record<string, unknown>; wide: boolean }) {
  const { data = [], total, error, isPending, refetch } = useGetList<WorkOrderRow>(
    'work-orders',
    { filter: { ...filter, state }, pagination: { page: 1, perPage: mostCards }, sort: order(state), meta: { count: true } },
    { refetchInterval: 30_000 },
  );
  return (
    <Box component="section" aria-label={`Orders ${state === 'started' ? 'under way' : state}`} sx={{ background: palette.frostDeep, border: `1px solid ${palette.line}`, borderRadius: '3px', minWidth: 0 }}>
      <Box sx={{ display: 'flex', alignItems: 'center', gap: 1, padding: '8px 12px 6px' }}>
        <Box component="h2" sx={{ margin: 0, fontSize: '1rem' }}>
          <WorkStateMark state={state} />
        </Box>
        <Box sx={{ flex: 1 }} />
        <Box component="span" sx={{ fontWeight: 700 }}>{total?.toLocaleString('en') ?? ''}</Box>
      </Box>
      {error ? (
        <Box sx={{ padding: 1 }}>
          <Trouble error={error} again={() => void refetch()} />
        </Box>
      ) : isPending ? (
        <WaitingRows rows={4} />
      ) : data.length === 0 ? (
        <Box sx={{ padding: '4px 12px 14px', color: palette.slate }}>{emptyWords[state]}</Box>
      ) : (
        <>
          <Box component="ul" sx={{ listStyle: 'none', margin: 0, padding: '2px 6px 6px', display: 'grid', gap: 0.75, gridTemplateColumns: wide ? { xs: 'minmax(0, 1fr)', md: 'repeat(3, minmax(0, 1fr))' } : 'minmax(0, 1fr)' }}>
            {data.map((one) => (
              <OrderCard key={one.id} order={one} without="state" />
            ))}
          </Box>
          {(total ?? 0) > data.length ? (
            <Box sx={{ padding: '0 12px 10px', color: palette.inkSoft }}>{((total ?? 0) - data.length).toLocaleString('en')} more: see them in the list, or narrow the filters.</Box>
          ) : null}
        </>
      )}
    </Box>
  );
}

const emptyWords: Record<State, string> = {
  planned: 'Nothing is planned. Orders are made from due work, from findings, or by hand.',
  released: 'Nothing waits for a technician.',
  started: 'Nobody is at a door just now.',
  completed: 'Nothing waits for review.',
  reviewed: 'Nothing has been reviewed.',
  cancelled: 'Nothing has been cancelled.',
};
