import { chainFaultText } from '@lintel/contract';
import type { JobAsked, LedgerAnchors, LedgerState } from '@lintel/contract';
import { formatInstant, palette } from '@lintel/ui';
import { Alert, Box, Button } from '@mui/material';
import { useNotify } from 'react-admin';
import { useState } from 'react';
import { useAnswer, useApi, useMay } from '../access/hooks.js';
import { refusalOf } from '../access/http.js';
import { offer } from '../common/chartExport.js';
import { Trouble, Waiting } from '../common/faces.js';
import { useNow } from '../common/now.js';
import { Panel } from '../common/Page.js';

const WATCH_MS = 15_000;
/** A check is asked for each night. */
const LATE_HOURS = 48;

/** Whether the chain of entries holds: where it ends, when it was last checked, and what was found. */
export function ChainBand() {
  const { data, error, refetch } = useAnswer<LedgerState>('/ledger/chain', { everyMs: WATCH_MS });
  if (error && !data) return <Trouble error={error} again={() => void refetch()} />;
  if (!data) return <Waiting what="the state of the chain" />;
  const { head } = data;
  return (
    <Panel title="Chain of entries" actions={<ChainActions anchored={head !== null} />}>
      <CheckLine check={data.check} />
      {head === null ? null : (
        <Box sx={{ color: palette.inkSoft, marginTop: 1, overflowWrap: 'anywhere' }}>
          The last is entry {head.sequence} of {formatInstant(head.at)}, hash <code>{head.hash}</code>. Export it as an anchor and keep it outside this
          house: it proves later that nothing up to there was changed.
        </Box>
      )}
    </Panel>
  );
}

function CheckLine({ check }: { check: LedgerState['check'] }) {
  const now = useNow();
  if (check === null) return <Alert severity="info" icon={false}><strong>Not checked yet.</strong> Each night all entries are checked.</Alert>;
  const when = `Last checked ${formatInstant(check.at)}`;
  if (check.fault !== null) {
    return (
      <Alert severity="error" icon={false}>
        <strong>✕ The ledger does not hold.</strong> {when}: {check.entries} entries are in order, then: {chainFaultText(check.fault)}
      </Alert>
    );
  }
  const late = Date.parse(now) - Date.parse(check.at) > LATE_HOURS * 3_600_000;
  return (
    <Alert severity={late ? 'warning' : 'success'} icon={false}>
      <strong>{late ? '! No check for two days.' : '✓ All entries are in order.'}</strong> {when}: {check.entries} {check.entries === 1 ? 'entry' : 'entries'}, each
      sealed over the one before{late ? '. Is the worker running?' : '.'}
    </Alert>
  );
}

function ChainActions({ anchored }: { anchored: boolean }) {
  const api = useApi();
  const notify = useNotify();
  const mayCheck = useMay('write', 'ledger');
  const [busy, setBusy] = useState(false);
  const run = (work: () => Promise<void>) => {
    setBusy(true);
    work().catch((error: unknown) => notify(refusalOf(error).detail, { type: 'error' })).finally(() => setBusy(false));
  };
  const check = async () => {
    await api.send<JobAsked>('POST', '/ledger/checks');
    notify('The entries are being checked; the result shows here.', { type: 'info' });
  };
  const exportAnchor = async () => {
    const anchors = await api.get<LedgerAnchors>('/ledger/anchor');
    const [first] = anchors.anchors;
    offer(new Blob([`${JSON.stringify(anchors, null, 2)}\n`], { type: 'application/json' }), `ledger-anchor-${first?.sequence ?? 0}.json`);
  };
  return (
    <>
      {mayCheck ? <Button size="small" variant="outlined" disabled={busy} onClick={() => run(check)}>Check now</Button> : null}
      <Button size="small" variant="outlined" disabled={busy || !anchored} onClick={() => run(exportAnchor)}>Export anchor</Button>
    </>
  );
}
