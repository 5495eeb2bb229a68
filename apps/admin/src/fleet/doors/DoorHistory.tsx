import type { Completion, Counter, Door, FittedPart, LedgerEntry, Site } from '@lintel/contract';
import { formatInstant, palette } from '@lintel/ui';
import { Box, Button, ToggleButton, ToggleButtonGroup } from '@mui/material';
import { useState } from 'react';
import { useGetList } from 'react-admin';
import { Link } from 'react-router';
import { useMay } from '../../access/hooks.js';
import { Nothing, Trouble, WaitingRows } from '../../common/faces.js';
import { Panel } from '../../common/Page.js';
import { counterEvents, eventKinds, inOrder, ledgerEvents, partEvents, taskEvents } from './historyEvents.js';
import type { EventKind, HistoryEvent } from './historyEvents.js';

const newest = { page: 1, perPage: 100 };

function useHistory(door: Door) {
  const seesLedger = useMay('read', 'ledger');
  const doorId = door.id;
  const tasks = useGetList<Completion>('completions', { filter: { doorId }, pagination: newest, sort: { field: 'doneAt', order: 'DESC' } });
  const parts = useGetList<FittedPart>('fitted-parts', { filter: { doorId }, pagination: newest, sort: { field: 'fittedAt', order: 'DESC' } });
  const counters = useGetList<Counter>('counters', { filter: { doorId }, pagination: newest, sort: { field: 'fittedAt', order: 'DESC' } });
  const ledger = useGetList<LedgerEntry>(
    'ledger',
    { filter: { subjectId: doorId }, pagination: newest, sort: { field: 'at', order: 'DESC' } },
    { enabled: seesLedger },
  );
  const lists = [tasks, parts, counters, ...(seesLedger ? [ledger] : [])];
  return {
    events: inOrder([...taskEvents(tasks.data ?? []), ...partEvents(parts.data ?? []), ...counterEvents(counters.data ?? []), ...ledgerEvents(ledger.data ?? [])]),
    kinds: (Object.keys(eventKinds) as EventKind[]).filter((kind) => kind !== 'entry' || seesLedger),
    error: lists.find((list) => list.error)?.error ?? null,
    isPending: lists.some((list) => list.isPending),
    again: () => void Promise.all(lists.map((list) => list.refetch())),
  };
}

const shownAtFirst = 12;

/** What happened at this door, newest first: tasks, parts, counters, and what the ledger says of it. */
export function DoorHistory({ door, site }: { door: Door; site: Site }) {
  const { events, kinds, error, isPending, again } = useHistory(door);
  const [shown, setShown] = useState<EventKind[]>(['task', 'part', 'counter']);
  const [all, setAll] = useState(false);
  const fitting = events.filter(({ kind }) => shown.includes(kind));
  const lines = all ? fitting : fitting.slice(0, shownAtFirst);
  return (
    <Panel
      title="History"
      flush
      actions={
        <>
          <Button size="small" variant="outlined" component={Link} to={`/doors/${door.id}/log-book`}>
            Log book
          </Button>
          <ToggleButtonGroup size="small" value={shown} onChange={(_event, next: EventKind[]) => setShown(next)} aria-label="Show in the history">
            {kinds.map((kind) => (
              <ToggleButton key={kind} value={kind} sx={{ textTransform: 'none', paddingBlock: '2px', '&.Mui-selected': { background: palette.ink, color: palette.paper }, '&.Mui-selected:hover': { background: palette.inkSoft } }}>
                {eventKinds[kind]}
              </ToggleButton>
            ))}
          </ToggleButtonGroup>
        </>
      }
    >
      {error ? (
        <Box sx={{ padding: 2 }}>
          <Trouble error={error} again={again} />
        </Box>
      ) : isPending ? (
        <WaitingRows rows={4} />
      ) : lines.length === 0 ? (
        <Nothing title="Nothing recorded yet" />
      ) : (
        <Box component="ol" sx={{ listStyle: 'none', margin: 0, padding: 0 }}>
          {lines.map((event) => (
            <Event key={event.key} event={event} timeZone={site.timeZone} />
          ))}
        </Box>
      )}
      {fitting.length > shownAtFirst ? (
        <Button onClick={() => setAll(!all)} sx={{ margin: '4px 8px' }}>
          {all ? 'Show fewer' : `Show ${fitting.length - shownAtFirst} more`}
        </Button>
      ) : null}
    </Panel>
  );
}

function Event({ event, timeZone }: { event: HistoryEvent; timeZone: string }) {
  return (
    <Box component="li" sx={{ display: 'grid', gridTemplateColumns: { xs: '1fr', sm: '150px 80px 1fr auto' }, gap: '0 18px', padding: '6px 16px', borderTop: `1px solid ${palette.lineSoft}` }}>
      <Box sx={{ color: palette.slate, whiteSpace: 'nowrap' }}>{formatInstant(event.at, timeZone)}</Box>
      <Box sx={{ color: palette.slate }}>{eventKinds[event.kind]}</Box>
      <Box sx={{ minWidth: 0, overflowWrap: 'anywhere' }}>
        <strong>{event.title}</strong>
        {event.detail ? <Box component="span" sx={{ color: palette.inkSoft }}> {event.detail}</Box> : null}
      </Box>
      <Box sx={{ color: palette.slate }}>{event.who ?? ''}</Box>
    </Box>
  );
}
