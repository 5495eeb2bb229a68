import { certificateInstant, type UncertifiedOrder } from '@lintel/contract';
import { count } from '@lintel/ui';
import { Alert, Box, Button } from '@mui/material';
import { useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { useListContext } from 'react-admin';
import { Link } from 'react-router';
import { useAnswer, useApi, useMay } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { orderLink } from '../work/orderWords.js';

/** All certificates of the site that the list is narrowed to, as one file. */
export function SiteBundle() {
  const { filterValues } = useListContext();
  const siteId: unknown = filterValues['siteId'];
  if (typeof siteId !== 'string' || siteId === '') return null;
  return (
    <Box sx={{ marginBottom: 1.2 }}>
      <Button variant="outlined" component="a" href={`/api/v1/certificates/bundle?siteId=${siteId}`} download>
        Download all certificates of this site
      </Button>
    </Box>
  );
}

/** To an administrator: completed inspections that have no certificate, and the way to issue them. */
export function Uncertified() {
  const mayIssue = useMay('write', 'certificates');
  return mayIssue ? <Missing /> : null;
}

function Missing() {
  const [asking, setAsking] = useState(false);
  const { data } = useAnswer<{ items: UncertifiedOrder[] }>('/certificates/missing');
  const items = data?.items ?? [];
  if (items.length === 0) return null;
  return (
    <>
      <Alert severity="warning" icon={false} sx={{ marginBottom: 1.2 }} action={<Button color="inherit" onClick={() => setAsking(true)}>Issue {items.length === 1 ? 'it' : 'them'}…</Button>}>
        {count(items.length, 'completed inspection')} {items.length === 1 ? 'has' : 'have'} no certificate: nothing could be signed when {items.length === 1 ? 'it was' : 'they were'} completed.
      </Alert>
      {asking ? <IssueDialog items={items} onClose={() => setAsking(false)} /> : null}
    </>
  );
}

const MOST_SHOWN = 12;

function IssueDialog({ items, onClose }: { items: readonly UncertifiedOrder[]; onClose: () => void }) {
  const api = useApi();
  const client = useQueryClient();
  const submit = async () => {
    await api.send('POST', '/certificates/missing', {});
    await client.invalidateQueries();
  };
  return (
    <ActionDialog title="Issue the certificates that are missing" open onClose={onClose} submit={submit} submitWord="Issue them" done="Issued.">
      <p>Each says what was found on the day of the inspection, and is signed today with the key that signs now.</p>
      <ul>
        {items.slice(0, MOST_SHOWN).map(({ workOrderId, workOrderNumber, doorName, siteName, completedAt }) => (
          <li key={workOrderId}>
            <Link to={orderLink(workOrderId)}>No. {workOrderNumber}</Link>, door {doorName}, {siteName}, {certificateInstant(completedAt, 'UTC')}
          </li>
        ))}
      </ul>
      {items.length > MOST_SHOWN ? <p>And {items.length - MOST_SHOWN} more.</p> : null}
    </ActionDialog>
  );
}
