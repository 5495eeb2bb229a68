import type { WorkOrderRow } from '@lintel/contract';
import { WorkStateMark, formatMinutes, palette, workKindWords } from '@lintel/ui';
import { Box, Checkbox } from '@mui/material';
import { Link } from 'react-router';
import { KindMark, PlannedDay, Progress, Technician } from './OrderFacts.js';
import { orderLink, orderNumber } from './orderWords.js';
import { useChosen } from './chosen.js';

interface OrderCardProps {
  order: WorkOrderRow;
  /** What the place of the card already says need not be said again. */
  without: 'state' | 'day';
}

/** One order on the board or in the week. */
export function OrderCard({ order, without }: OrderCardProps) {
  const { may, ids, toggle } = useChosen();
  return (
    <Box
      component="li"
      sx={{ background: palette.paper, border: `1px solid ${palette.line}`, borderRadius: '3px', padding: '7px 10px 8px', minWidth: 0, overflowWrap: 'anywhere', ...(order.overdue ? { boxShadow: `inset 5px 0 0 ${palette.signal}`, background: palette.signalSoft } : {}) }}
    >
      <Box sx={{ display: 'flex', gap: 0.5, alignItems: 'flex-start' }}>
        <Box component={Link} to={orderLink(order.id)} sx={{ flex: 1, color: palette.ink, fontWeight: 650, lineHeight: 1.3, textDecorationColor: palette.slateSoft, textUnderlineOffset: '3px' }}>
          {order.title}
        </Box>
        {may ? (
          <Checkbox
            size="small"
            checked={ids.has(order.id)}
            onChange={() => toggle(order)}
            slotProps={{ input: { 'aria-label': `Choose ${orderNumber(order)}, ${order.title}` } }}
            sx={{ padding: '1px' }}
          />
        ) : null}
      </Box>
      <Box sx={{ fontSize: '0.88rem', color: palette.inkSoft, marginTop: 0.2 }}>
        <Box component="span" sx={{ fontWeight: 650 }}>{order.doorName}</Box>, {order.siteName}
      </Box>
      <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: '0 10px', fontSize: '0.88rem', color: palette.inkSoft }}>
        <span>{orderNumber(order)}</span>
        <KindMark kind={order.kind} word={workKindWords[order.kind]} />
        <span>{formatMinutes(order.minutes)}</span>
      </Box>
      <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: '0 10px', fontSize: '0.88rem' }}>
        {without === 'state' ? <PlannedDay order={order} /> : <WorkStateMark state={order.state} />}
        <Technician order={order} />
        <Progress order={order} />
      </Box>
    </Box>
  );
}
