import type { KeptWork, WholeWorkOrder } from '@lintel/contract';
import { formatInstant, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { Panel } from '../common/Page.js';
import { keptWords } from './keptWords.js';
import { sentenceOf } from './refusals.js';

/** What a technician did that could not be taken in, most often because the order had been cancelled meanwhile. Nothing of it is lost. */
export function KeptWorkPanel({ order }: { order: WholeWorkOrder }) {
  if (order.keptWork.length === 0) return null;
  return (
    <Panel title="Work that was kept" note="Done on a device, but it could not be taken in; make a further order where it has to count" flush>
      <Box component="ul" sx={{ listStyle: 'none', margin: 0, padding: 0 }}>
        {order.keptWork.map((kept) => (
          <Line key={kept.id} kept={kept} order={order} />
        ))}
      </Box>
    </Panel>
  );
}

function Line({ kept, order }: { kept: KeptWork; order: WholeWorkOrder }) {
  const step = (id: string) => order.steps.find((one) => one.id === id)?.text;
  return (
    <Box component="li" sx={{ padding: '8px 16px', borderTop: `1px solid ${palette.lineSoft}` }}>
      <Box sx={{ fontWeight: 650, overflowWrap: 'anywhere' }}>{keptWords(kept.command, step)}</Box>
      {kept.refusal ? <Box sx={{ color: palette.signalDeep }}>{sentenceOf(kept.refusal, { step })}</Box> : null}
      <Box sx={{ color: palette.slate, fontSize: '0.88rem' }}>
        {kept.accountName ? `${kept.accountName}, ` : ''}
        {formatInstant(kept.madeAt, order.timeZone)} by {kept.device}, {formatInstant(kept.receivedAt, order.timeZone)} by the server
      </Box>
    </Box>
  );
}
