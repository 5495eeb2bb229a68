import type { Reading } from '@lintel/contract';
import { VerdictMark, asVerdict, formatInstant, formatWhole, palette, verdictMeanings } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { useState } from 'react';
import { RadioButtonGroupInput, TextInput, required, useNotify, useRefresh } from 'react-admin';
import { refusalOf } from '../access/http.js';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';

/** A planner's word over the computed verdict; the note is kept in the ledger. */
export function OverruleDialog({ reading, onClose }: { reading: Reading; onClose: () => void }) {
  const api = useApi();
  const used = reading.verdict.startsWith('used');
  const submit = (values: Record<string, unknown>) =>
    api.send('PUT', `/readings/${reading.id}/overrule`, { use: values['use'] === 'use', note: values['note'] });
  return (
    <ActionDialog
      title={`Overrule a reading of door ${reading.doorName}`}
      open
      onClose={onClose}
      submit={submit}
      submitWord="Overrule"
      done="The verdict has been overruled; the door’s dates follow in a few seconds."
      defaults={{ use: reading.overrule ? (reading.overrule.use ? 'use' : 'aside') : used ? 'aside' : 'use', note: reading.overrule?.note ?? '' }}
    >
      <Box sx={{ background: palette.frost, border: `1px solid ${palette.line}`, padding: '10px 14px', borderRadius: '3px', marginBottom: 1 }}>
        <div>
          On {formatInstant(reading.at)} the counter showed <strong>{formatWhole(reading.value)}</strong>.
        </div>
        <VerdictMark verdict={reading.verdict} />
        <Box sx={{ color: palette.inkSoft }}>{verdictMeanings[asVerdict(reading.verdict)]}</Box>
      </Box>
      <RadioButtonGroupInput
        source="use"
        label="What shall become of it"
        choices={[
          { id: 'use', name: 'Use it, whatever the rules say' },
          { id: 'aside', name: 'Set it aside' },
        ]}
        validate={required()}
      />
      <TextInput source="note" label="Why" multiline minRows={2} validate={required('Say why: the note is kept')} />
      {reading.overrule ? <TakeBack reading={reading} onClose={onClose} /> : null}
    </ActionDialog>
  );
}

function TakeBack({ reading, onClose }: { reading: Reading; onClose: () => void }) {
  const api = useApi();
  const notify = useNotify();
  const refresh = useRefresh();
  const [busy, setBusy] = useState(false);
  const takeBack = async () => {
    setBusy(true);
    try {
      await api.send('DELETE', `/readings/${reading.id}/overrule`);
      notify('The computed verdict stands again.', { type: 'success' });
      refresh();
      onClose();
    } catch (error) {
      notify(refusalOf(error).detail, { type: 'error' });
      setBusy(false);
    }
  };
  return (
    <Button variant="outlined" onClick={() => void takeBack()} disabled={busy}>
      Take the overruling back
    </Button>
  );
}
