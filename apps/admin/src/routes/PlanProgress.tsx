import type { RoutePlanDetail } from '@lintel/contract';
import { formatMoney, formatWhole, palette } from '@lintel/ui';
import { Alert, Box, Button, LinearProgress } from '@mui/material';
import { useState } from 'react';
import { useNotify } from 'react-admin';
import { refusalOf } from '../access/http.js';
import { useApi } from '../access/hooks.js';
import { planPath, useTakePlan } from './useMoving.js';

/** How far the search is, and the way to stop it. */
export function PlanProgress({ plan }: { plan: RoutePlanDetail }) {
  const api = useApi();
  const notify = useNotify();
  const takePlan = useTakePlan();
  const [stopping, setStopping] = useState(false);
  const waiting = plan.state === 'waiting';
  const cancel = async () => {
    setStopping(true);
    try {
      takePlan(await api.send<RoutePlanDetail>('POST', `${planPath(plan.id)}/cancel`));
    } catch (error) {
      notify(refusalOf(error).detail, { type: 'error' });
      setStopping(false);
    }
  };
  return (
    <Box component="section" aria-label="Progress" sx={{ background: palette.paper, border: `1px solid ${palette.line}`, borderRadius: '3px', padding: 2 }}>
      <Box role="status" sx={{ marginBottom: 1 }}>
        {waiting ? 'The plan waits for its turn.' : `The plan is being made: ${Math.round(plan.fraction * 100)} % of its time, ${formatWhole(plan.iterations)} trials${plan.cost === null ? '' : `, best so far ${formatMoney(plan.cost, plan.currency)}`}.`}
      </Box>
      <LinearProgress variant={waiting ? 'indeterminate' : 'determinate'} value={plan.fraction * 100} aria-label="Progress of the plan" />
      <Button variant="outlined" sx={{ marginTop: 1.2 }} disabled={stopping} onClick={() => void cancel()}>
        {stopping ? 'Stopping…' : waiting ? 'Take it back' : 'Stop: take the best so far'}
      </Button>
    </Box>
  );
}

export function PlanFailed({ plan }: { plan: RoutePlanDetail }) {
  return <Alert severity="error">The plan could not be made: {plan.error ?? 'no reason was kept'}</Alert>;
}
