import type { RoutePlanAsked, RoutePlanDetail } from '@lintel/contract';
import { count, palette } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { NumberInput, SelectInput, TextInput, required } from 'react-admin';
import { useNavigate } from 'react-router';
import { etagOf } from '../access/dataProvider.js';
import { useApi, useMay } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { choicesOf } from '../common/words.js';
import { vanDays, VanTable } from './PartsPanel.js';
import { reasonWords } from './routeWords.js';
import { planPath } from './useMoving.js';

type Deed = 'accept' | 'discard' | 'publish' | 'replan';

/** What can be done with the plan in the state it is in. */
export function PlanDeeds({ plan }: { plan: RoutePlanDetail }) {
  const mayWrite = useMay('write', 'route-plans');
  const [deed, setDeed] = useState<Deed | null>(null);
  if (!mayWrite) return null;
  const { state } = plan;
  const close = () => setDeed(null);
  return (
    <>
      {state === 'draft' ? <Button variant="contained" onClick={() => setDeed('accept')}>Accept</Button> : null}
      {state === 'accepted' ? <Button variant="contained" onClick={() => setDeed('publish')}>Publish…</Button> : null}
      {['draft', 'accepted', 'published'].includes(state) ? <Button variant="outlined" onClick={() => setDeed('replan')}>Make it again…</Button> : null}
      {['waiting', 'draft', 'accepted', 'failed'].includes(state) ? <Button variant="outlined" onClick={() => setDeed('discard')}>Throw it away…</Button> : null}
      {deed === 'accept' || deed === 'discard' ? <DecideDialog plan={plan} deed={deed} onClose={close} /> : null}
      {deed === 'publish' ? <PublishDialog plan={plan} onClose={close} /> : null}
      {deed === 'replan' ? <ReplanDialog plan={plan} onClose={close} /> : null}
    </>
  );
}

interface DialogProps {
  plan: RoutePlanDetail;
  onClose: () => void;
}

function useSubmit(plan: RoutePlanDetail) {
  const api = useApi();
  const client = useQueryClient();
  return async (deed: Exclude<Deed, 'replan'>) => {
    try {
      await api.send('POST', `${planPath(plan.id)}/${deed}`, undefined, etagOf(plan.version));
    } finally {
      await client.invalidateQueries();
    }
  };
}

function DecideDialog({ plan, deed, onClose }: DialogProps & { deed: 'accept' | 'discard' }) {
  const submit = useSubmit(plan);
  const accept = deed === 'accept';
  return (
    <ActionDialog
      title={accept ? 'Accept the plan' : 'Throw the plan away'} open onClose={onClose} submit={() => submit(deed)} grave={!accept}
      submitWord={accept ? 'Accept it' : 'Throw it away'} done={accept ? 'Accepted: it can be published.' : 'Thrown away.'}
    >
      <Box>{accept ? `${plan.basePlanId === null ? '' : 'What it changes is listed on its page. '}Nobody is told yet; visits can still be moved until it is published.` : 'Its visits are forgotten; the work stays due.'}</Box>
    </ActionDialog>
  );
}

/** Missing parts come before the word. */
function PublishDialog({ plan, onClose }: DialogProps) {
  const submit = useSubmit(plan);
  const short = vanDays(plan).filter((van) => van.missing > 0);
  const missing = short.reduce((sum, van) => sum + van.missing, 0);
  const served = plan.visitList.filter(({ technicianId }) => technicianId !== null);
  const safetyOut = plan.visitList.filter(({ technicianId, items }) => technicianId === null && items.some(({ kind }) => kind === 'safety'));
  return (
    <ActionDialog title="Publish the plan" open wide onClose={onClose} submit={() => submit('publish')} submitWord="Publish it" done="Published: technicians and owners see their visits, the work has its orders.">
      <Box component="h3" sx={{ margin: '4px 0', fontSize: '1rem', color: missing > 0 ? palette.signalDeep : palette.ink }}>
        {missing > 0 ? `Missing in the vans: ${count(missing, 'part')}` : 'No part is missing in the vans.'}
      </Box>
      {missing > 0 ? (
        <>
          <VanTable vans={short} label="Missing parts" />
          <Box sx={{ marginTop: 1 }}>Leave this and fill the vans from the store under Parts for the vans, or publish as it is.</Box>
        </>
      ) : null}
      {safetyOut.length > 0 ? (
        <Box sx={{ color: palette.signalDeep, fontWeight: 600, marginTop: 1 }}>
          {count(safetyOut.length, 'visit')} with safety inspections left out: {safetyOut.slice(0, 5).map(({ siteName }) => siteName).join(', ')}{safetyOut.length > 5 ? ' and more' : ''}.
        </Box>
      ) : null}
      <Box sx={{ marginTop: 1 }}>
        {count(served.length, 'visit')} are announced to technicians and owners, and all their work gets orders{plan.basePlanId === null ? '' : '; the plan before is replaced'}. Moving an announced visit later has a price.
      </Box>
    </ActionDialog>
  );
}

function ReplanDialog({ plan, onClose }: DialogProps) {
  const api = useApi();
  const navigate = useNavigate();
  const submit = async ({ reason, note, budgetSeconds }: Record<string, unknown>) => {
    const replanning = { reason, ...(note ? { note } : {}) };
    const { planId } = await api.send<RoutePlanAsked>('POST', `${planPath(plan.id)}/replan`, { replanning, budgetSeconds }, etagOf(plan.version));
    void navigate(`/route-plans/${planId}/show`);
  };
  return (
    <ActionDialog
      title="Make the plan again" open onClose={onClose} submit={submit} submitWord="Make it again" done="A new plan is being made."
      defaults={{ reason: 'other', budgetSeconds: plan.budgetSeconds }}
    >
      <Box sx={{ marginBottom: 1 }}>
        From today on, with absences, site hours and work as they are now. Locked visits and those that have begun stay; this plan stays too, until you have seen what the new one changes and publish it.
      </Box>
      <SelectInput source="reason" label="Why" choices={choicesOf(reasonWords)} validate={required()} helperText={false} />
      <TextInput source="note" label="Note" />
      <NumberInput source="budgetSeconds" label="Time for the search, seconds" min={1} max={600} validate={required()} helperText={false} />
    </ActionDialog>
  );
}
