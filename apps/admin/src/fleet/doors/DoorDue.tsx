import type { Door, DueItem, Site } from '@lintel/contract';
import { SafetyMark, daysBetween, formatDate, formatDistance, formatMinutes, palette } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { useGetList } from 'react-admin';
import { useMay } from '../../access/hooks.js';
import { FromDueDialog } from '../../work/FromDueDialog.js';
import { OrderOfDue } from '../../work/OrderOfDue.js';
import { Nothing, Trouble, WaitingRows } from '../../common/faces.js';
import { useToday } from '../../common/now.js';
import { Panel } from '../../common/Page.js';
import { useDialog } from '../../common/useDialog.js';
import { dueSentence } from '../../upkeep/dueSentence.js';
import { CompleteTaskDialog } from './CompleteTaskDialog.js';

/** What is due at this door, when, and why then: safety first, then by date. */
export function DoorDue({ door, site }: { door: Door; site: Site }) {
  const mayRecord = useMay('write', 'completions') && door.state !== 'decommissioned';
  const mayPlan = useMay('write', 'work-orders') && door.state !== 'decommissioned';
  const { subject, open, close } = useDialog<DueItem>();
  const order = useDialog<DueItem>();
  const { data, error, isPending, refetch } = useGetList<DueItem>(
    'due-items',
    { filter: { doorId: door.id }, pagination: { page: 1, perPage: 100 }, sort: { field: 'dueOn', order: 'ASC' } },
    { refetchInterval: 15_000 },
  );
  const items = [...(data ?? [])].sort((a, b) => Number(b.overdue) - Number(a.overdue) || Number(b.safety) - Number(a.safety));
  return (
    <Panel title="Due at this door" flush>
      {error ? (
        <Box sx={{ padding: 2 }}>
          <Trouble error={error} again={() => void refetch()} />
        </Box>
      ) : isPending ? (
        <WaitingRows rows={3} />
      ) : items.length === 0 ? (
        <Nothing title="Nothing is due">
          {door.state === 'decommissioned' ? 'Nothing falls due at a decommissioned door.' : 'Either its type has no maintenance plan, or the first projection has not run yet.'}
        </Nothing>
      ) : (
        <Box component="ul" sx={{ listStyle: 'none', margin: 0, padding: 0 }}>
          {items.map((item) => (
            <Item key={item.id} item={item} onDone={mayRecord ? () => open(item) : undefined} onOrder={mayPlan && !item.ordered ? () => order.open(item) : undefined} />
          ))}
        </Box>
      )}
      {order.subject ? <FromDueDialog items={[order.subject]} onClose={order.close} /> : null}
      {subject ? <CompleteTaskDialog door={door} site={site} taskId={subject.taskId} onClose={close} /> : null}
    </Panel>
  );
}

function Item({ item, onDone, onOrder }: { item: DueItem; onDone: (() => void) | undefined; onOrder: (() => void) | undefined }) {
  const today = useToday();
  return (
    <Box
      component="li"
      sx={{
        display: 'grid',
        gridTemplateColumns: { xs: '1fr', sm: '250px 1fr auto' },
        gap: '2px 18px',
        padding: '9px 16px',
        borderTop: `1px solid ${palette.lineSoft}`,
        ...(item.overdue ? { boxShadow: `inset 5px 0 0 ${palette.signal}`, background: palette.signalSoft } : {}),
      }}
    >
      <Box>
        <Box sx={{ fontWeight: 700, color: item.overdue ? palette.signalDeep : palette.ink }}>
          {formatDate(item.dueOn)} <Box component="span" sx={{ fontWeight: 450 }}>{formatDistance(daysBetween(today, item.dueOn))}</Box>
        </Box>
        <Box sx={{ color: palette.slate, fontSize: '0.88rem' }}>
          {formatDate(item.earliestOn)} to {formatDate(item.latestOn)}
        </Box>
      </Box>
      <Box sx={{ minWidth: 0 }}>
        <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: '0 14px', alignItems: 'center' }}>
          <strong>{item.taskName}</strong>
          {item.safety ? <SafetyMark urgent={item.overdue} word={item.overdue ? 'safety inspection, overdue' : 'safety inspection'} /> : item.overdue ? <Box sx={{ color: palette.signalDeep, fontWeight: 700 }}>overdue</Box> : null}
          <span>{formatMinutes(item.minutes)}</span>
          <OrderOfDue item={item} />
        </Box>
        <Box sx={{ color: palette.inkSoft }}>{dueSentence(item.why, item.safety)}</Box>
      </Box>
      <Box sx={{ display: 'flex', gap: 1, alignSelf: 'center', justifyContent: { sm: 'flex-end' } }}>
        {onOrder ? (
          <Button size="small" variant={item.overdue ? 'contained' : 'outlined'} color={item.overdue ? 'error' : 'primary'} onClick={onOrder} aria-label={`Order… ${item.taskName}`}>
            Order…
          </Button>
        ) : null}
        {onDone ? (
          <Button size="small" variant="outlined" color={item.overdue ? 'error' : 'primary'} onClick={onDone} aria-label={`Done… ${item.taskName}`}>
            Done…
          </Button>
        ) : null}
      </Box>
    </Box>
  );
}
