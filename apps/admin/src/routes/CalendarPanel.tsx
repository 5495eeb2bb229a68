import type { CalendarFeed, CalendarFeedMade, Technician } from '@lintel/contract';
import { formatInstant, palette } from '@lintel/ui';
import { Alert, Box, Button, TextField } from '@mui/material';
import { useState } from 'react';
import { useNotify, useRefresh } from 'react-admin';
import { refusalOf } from '../access/http.js';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { Panel } from '../common/Page.js';
import { RecordList } from '../common/RecordList.js';
import type { Column } from '../common/RecordTable.js';
import { useDialog } from '../common/useDialog.js';

const columns: readonly Column<CalendarFeed>[] = [
  { key: 'made', label: 'Made', sort: 'createdAt', cell: ({ createdAt }) => formatInstant(createdAt) },
  { key: 'state', label: 'State', cell: ({ revokedAt }) => (revokedAt === null ? 'open' : <Box component="span" sx={{ color: palette.slate }}>revoked {formatInstant(revokedAt)}</Box>) },
];

/** Secret addresses by which a calendar program reads the published visits: shown once, and revoked here. */
export function CalendarPanel({ technician }: { technician: Technician }) {
  const api = useApi();
  const notify = useNotify();
  const refresh = useRefresh();
  const [made, setMade] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const revoking = useDialog<CalendarFeed>();
  const create = async () => {
    setBusy(true);
    try {
      const { path } = await api.send<CalendarFeedMade>('POST', '/calendar-feeds', { technicianId: technician.id });
      setMade(new URL(path, window.location.origin).href);
      refresh();
    } catch (error) {
      notify(refusalOf(error).detail, { type: 'error' });
    } finally {
      setBusy(false);
    }
  };
  return (
    <Panel title="Calendar addresses" note="For a calendar program that subscribes to addresses" flush actions={<Button size="small" variant="outlined" disabled={busy} onClick={() => void create()}>Make an address</Button>}>
      {made ? <MadeAddress address={made} onClose={() => setMade(null)} /> : null}
      <RecordList<CalendarFeed>
        resource="calendar-feeds" label="Addresses made" inside fixed={{ technicianId: technician.id }} sort={{ field: 'createdAt', order: 'DESC' }}
        columns={columns}
        empty={{ title: 'No address yet', text: 'Whoever holds an address reads the visits: make one for each program.' }}
        renderDeeds={(feed) => (feed.revoked ? null : <Button size="small" onClick={() => revoking.open(feed)} aria-label={`Revoke: address of ${formatInstant(feed.createdAt)}`}>Revoke</Button>)}
      />
      {revoking.subject ? (
        <ActionDialog
          title="Revoke the address" open grave onClose={revoking.close} submitWord="Revoke it" done="Revoked: it opens nothing any more."
          submit={() => api.send('DELETE', `/calendar-feeds/${revoking.subject!.id}`)}
        >
          The calendar program that uses it gets nothing more, at once and for good.
        </ActionDialog>
      ) : null}
    </Panel>
  );
}

function MadeAddress({ address, onClose }: { address: string; onClose: () => void }) {
  const [copied, setCopied] = useState(false);
  const copy = () => navigator.clipboard.writeText(address).then(() => setCopied(true), () => setCopied(false));
  return (
    <Alert severity="info" sx={{ margin: 2, '& .MuiAlert-message': { flex: 1, minWidth: 0 } }}>
      Keep this address now: it is shown this once, and only its seal is kept.
      <TextField label="Secret address" value={address} slotProps={{ htmlInput: { readOnly: true }, inputLabel: { shrink: true } }} onFocus={(event) => event.target.select()} />
      <Box sx={{ display: 'flex', gap: 1 }}>
        <Button size="small" variant="outlined" onClick={() => void copy()}>{copied ? 'Copied' : 'Copy'}</Button>
        <Button size="small" onClick={onClose}>I have it</Button>
      </Box>
    </Alert>
  );
}
