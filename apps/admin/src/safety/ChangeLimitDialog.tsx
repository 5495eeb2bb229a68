import type { ForceLimitId, ForceLimitRow } from '@lintel/engine';
import { SourceMark } from '@lintel/ui';
import { useQueryClient } from '@tanstack/react-query';
import { NumberInput, required } from 'react-admin';
import { etagOf } from '../access/dataProvider.js';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { NoteInput } from '../common/inputs.js';
import { boundWords, limitValue, limitWord } from './limitWords.js';

const looserWords: Record<ForceLimitRow['bound'], string> = {
  most: 'A higher value is looser',
  least: 'A lower value is looser',
  exact: 'Every other value counts as looser',
};

/** Changes one limit; whether that loosens it, and that it then needs a reason, is for the server to say. */
export function ChangeLimitDialog({ row, version, onClose }: { row: ForceLimitRow & { id: ForceLimitId }; version: number; onClose: () => void }) {
  const api = useApi();
  const client = useQueryClient();
  const { id, value, unit, bound, source, status } = row;
  const submit = async (values: Record<string, unknown>) => {
    const reason = typeof values['reason'] === 'string' ? { reason: values['reason'] } : {};
    await api.send('POST', '/force-limits', { row: id, value: values['value'], ...reason }, etagOf(version));
    await client.invalidateQueries();
  };
  return (
    <ActionDialog
      title={`Change: ${limitWord(id)}`}
      open
      onClose={onClose}
      submit={submit}
      submitWord="Change it"
      done="Changed: orders released from now on have the new limit."
      defaults={{ value }}
    >
      <p>
        Now {boundWords[bound]} {limitValue(value, unit)}, from {source}.
      </p>
      <p>
        <SourceMark status={status} />
      </p>
      <NumberInput source="value" label={`New value, ${unit}`} min={0} step="any" helperText={`${looserWords[bound]}: it needs a reason, and stands in red on this page and in the ledger.`} validate={required()} />
      <NoteInput source="reason" label="Reason" />
    </ActionDialog>
  );
}
