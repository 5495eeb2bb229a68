import type { WholeWorkOrder } from '@lintel/contract';
import { WorkStateMark, formatMinutes, palette, workKindWords } from '@lintel/ui';
import { Alert, Box } from '@mui/material';
import { useState } from 'react';
import { useGetOne } from 'react-admin';
import { Link, useParams } from 'react-router';
import { useMay } from '../access/hooks.js';
import { Trouble, Waiting } from '../common/faces.js';
import { doorLink, siteLink } from '../common/links.js';
import { Columns, PageHead, Stack } from '../common/Page.js';
import { FindingsPanel } from './FindingsPanel.js';
import { ImagesPanel } from './ImagesPanel.js';
import { KeptWorkPanel } from './KeptWorkPanel.js';
import { LabourPanel } from './LabourPanel.js';
import { OrderAbout } from './OrderAbout.js';
import { OrderDrawing } from './OrderDrawing.js';
import { KindMark, PlannedDay, Progress, Technician } from './OrderFacts.js';
import { OrderLedgerPanel } from './OrderLedgerPanel.js';
import { OrderMoves } from './OrderMoves.js';
import { StepsPanel } from './StepsPanel.js';
import { orderNumber } from './orderWords.js';

/** Everything about one order: what is to be done and where, who answered what and when, what was found, used and signed. */
export default function OrderPage() {
  const { id = '' } = useParams();
  const { data: order, error, isPending, refetch } = useGetOne<WholeWorkOrder>('work-orders', { id }, { refetchInterval: 15_000 });
  const readsLedger = useMay('read', 'ledger');
  const [selected, setSelected] = useState<string | null>(null);
  if (error && !order) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending || !order) return <Waiting what="the order" />;
  return (
    <>
      <PageHead
        title={`${orderNumber(order)}: ${order.title}`}
        up={{ to: '/work-orders', word: 'Work orders' }}
        facts={<HeadFacts order={order} />}
        actions={<OrderMoves order={order} />}
      />
      <Stack>
        <Notices order={order} />
        <Columns widths="minmax(0, 1fr) minmax(0, 1.35fr)">
          <Stack>
            <OrderAbout order={order} />
            <OrderDrawing order={order} selected={selected} onSelect={setSelected} />
          </Stack>
          <Stack>
            <StepsPanel order={order} selectedPosition={selected} />
            <FindingsPanel order={order} />
            <ImagesPanel order={order} />
            <LabourPanel order={order} />
            <KeptWorkPanel order={order} />
          </Stack>
        </Columns>
        {readsLedger ? <OrderLedgerPanel orderId={order.id} timeZone={order.timeZone} /> : null}
      </Stack>
    </>
  );
}

function HeadFacts({ order }: { order: WholeWorkOrder }) {
  return (
    <>
      <WorkStateMark state={order.state} />
      <KindMark kind={order.kind} word={workKindWords[order.kind]} />
      <span>
        Door <Link to={doorLink(order.doorId)}>{order.doorName}</Link>, <Link to={siteLink(order.siteId)}>{order.siteName}</Link>, {order.ownerName}
      </span>
      <PlannedDay order={order} />
      <Technician order={order} />
      <span>{formatMinutes(order.minutes)}</span>
      <Progress order={order} />
    </>
  );
}

/** What must not be missed before anything else. */
function Notices({ order }: { order: WholeWorkOrder }) {
  const unsafe = order.findings.filter(({ severity, open }) => severity === 'unsafe' && open);
  return (
    <>
      {order.conflicts.length > 0 ? (
        <Alert severity="warning" icon={false}>
          <strong>Answers contradict each other.</strong> Two people answered the same step without knowing of each other. Settle which one stands; until then the order cannot be completed.
        </Alert>
      ) : null}
      {unsafe.length > 0 ? (
        <Alert severity="error" icon={false}>
          <strong>The door was found unsafe and is out of service:</strong> {unsafe.map(({ text }) => text).join('; ')}. It goes back into service only when a further order has tested it again and passed.
        </Alert>
      ) : null}
      {order.state === 'cancelled' ? (
        <Alert severity="info" icon={false}>
          <strong>Cancelled:</strong> {order.cancelReason}
          {order.keptWork.length > 0 ? <Box sx={{ color: palette.signalDeep, fontWeight: 650 }}>A technician went on working on it: see the work that was kept below.</Box> : null}
        </Alert>
      ) : null}
    </>
  );
}
