import type { WholeWorkOrder } from '@lintel/contract';
import { commandsIn } from '@lintel/engine';
import type { RefusalNames } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { useState } from 'react';
import { TextInput, required } from 'react-admin';
import { Link } from 'react-router';
import { useApi, useMay } from '../access/hooks.js';
import { etagOf } from '../access/dataProvider.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { useDoor } from '../fleet/doors/useDoor.js';
import { byTheRules } from './refusals.js';

type Move = 'release' | 'review' | 'cancel';

/** What a planner can do with the order in the state it is in. */
export function OrderMoves({ order }: { order: WholeWorkOrder }) {
  const plans = useMay('write', 'work-orders');
  const [move, setMove] = useState<Move | null>(null);
  if (!plans) return null;
  const may = new Set<string>(commandsIn(order.state));
  const open = may.has('cancel');
  return (
    <>
      {may.has('release') ? <Button variant="contained" onClick={() => setMove('release')}>Release</Button> : null}
      {may.has('review') ? <Button variant="contained" onClick={() => setMove('review')}>Review</Button> : null}
      {open ? <Button component={Link} to={`/work-orders/${order.id}`} variant="outlined">Change</Button> : null}
      {open ? <Button variant="outlined" onClick={() => setMove('cancel')}>Cancel the order…</Button> : null}
      {move ? <MoveDialog order={order} move={move} onClose={() => setMove(null)} /> : null}
    </>
  );
}

const dialogs: Record<Move, { title: string; word: string; done: string; text: string }> = {
  release: {
    title: 'Release the order',
    word: 'Release it',
    done: 'Released: it can be carried out.',
    text: 'Its steps are copied from the task as it is now, and stay as they are from then on. The technician finds it on the tablet.',
  },
  review: {
    title: 'Review the order',
    word: 'Reviewed',
    done: 'Reviewed.',
    text: 'You have looked at what was done, found and measured. Nothing of the order can be changed any more.',
  },
  cancel: {
    title: 'Cancel the order',
    word: 'Cancel the order',
    done: 'Cancelled.',
    text: 'It will not be carried out. What was answered and found so far stays; a due task stays due.',
  },
};

function MoveDialog({ order, move, onClose }: { order: WholeWorkOrder; move: Move; onClose: () => void }) {
  const api = useApi();
  const names = useNames(order);
  const { title, word, done, text } = dialogs[move];
  const submit = (values: Record<string, unknown>) =>
    byTheRules(api.send('POST', `/work-orders/${order.id}/${move}`, move === 'cancel' ? { reason: values['reason'] } : undefined, etagOf(order.version)), names);
  return (
    <ActionDialog title={title} open onClose={onClose} submit={submit} submitWord={word} done={done} grave={move === 'cancel'}>
      <Box sx={{ marginBottom: 1 }}>{text}</Box>
      {move === 'cancel' ? <TextInput source="reason" label="Reason" validate={required()} helperText="Kept with the order" /> : null}
    </ActionDialog>
  );
}

/** How what a refusal names by id is called on this page. */
function useNames(order: WholeWorkOrder): RefusalNames {
  const { positions } = useDoor(order.doorId);
  const findings = [...order.findings, ...order.retests, ...order.puts];
  return {
    step: (id) => order.steps.find((step) => step.id === id)?.text,
    position: (id) => positions.find((one) => one.id === id)?.position.name,
    finding: (id) => findings.find((finding) => finding.id === id)?.text,
  };
}
