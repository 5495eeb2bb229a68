import type { DueItem } from '@lintel/contract';
import { palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { Link } from 'react-router';
import { orderLink } from './orderWords.js';

/** The order that is open for a due item already; nothing where there is none. */
export function OrderOfDue({ item }: { item: Pick<DueItem, 'orderId' | 'orderNumber'> }) {
  if (item.orderId === null) return null;
  return (
    <Box component={Link} to={orderLink(item.orderId)} sx={{ display: 'block', width: 'fit-content', color: palette.ink, fontSize: '0.88rem', whiteSpace: 'nowrap', textDecorationColor: palette.slateSoft, textUnderlineOffset: '3px' }}>
      Order no. {item.orderNumber}
    </Box>
  );
}
