import type { WholeWorkOrder } from '@lintel/contract';
import { formatInstant } from '@lintel/ui';
import { Box } from '@mui/material';
import { Link } from 'react-router';
import { Facts, Panel } from '../common/Page.js';
import { partKindWords } from '../common/words.js';
import { originWords } from './orderWords.js';
import { RetestLines } from './FindingLine.js';

/** Where the order came from, what it asks for, and when it moved on. */
export function OrderAbout({ order }: { order: WholeWorkOrder }) {
  const at = (instant: string | null, who?: string | null) => (instant === null ? '–' : `${formatInstant(instant, order.timeZone)}${who ? `, ${who}` : ''}`);
  const rows = [
    { term: 'Made', value: `${at(order.createdAt, order.createdByName)}, ${originWords[order.origin]}` },
    ...(order.taskName ? [{ term: 'Task', value: order.taskName }] : []),
    ...(order.skills.length > 0 ? [{ term: 'Needs', value: order.skills.join(', ') }] : []),
    ...(order.parts.length > 0 ? [{ term: 'Parts to take', value: order.parts.map((kind) => partKindWords[kind].toLowerCase()).join(', ') }] : []),
    { term: 'Released', value: at(order.releasedAt) },
    { term: 'Started', value: at(order.startedAt) },
    { term: 'Completed', value: at(order.completedAt, order.completedByName) },
    { term: 'Reviewed', value: at(order.reviewedAt, order.reviewedByName) },
    ...(order.cancelledAt ? [{ term: 'Cancelled', value: at(order.cancelledAt) }] : []),
    { term: 'Clock', value: order.timeZone },
  ];
  return (
    <Panel title="About the order">
      {order.instructions ? <Box sx={{ whiteSpace: 'pre-wrap', marginBottom: 1 }}>{order.instructions}</Box> : null}
      <Facts rows={rows} />
      <RetestLines title="Tests again what was found unsafe" findings={order.retests} />
      <RetestLines title="Is to put right" findings={order.puts} />
      {order.state === 'reviewed' || order.state === 'completed' ? (
        <Box sx={{ marginTop: 1 }}>
          <Link to={`/doors/${order.doorId}/show`}>The door’s history</Link>
        </Box>
      ) : null}
    </Panel>
  );
}
