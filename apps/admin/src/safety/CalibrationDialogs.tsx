import type { Calibration, Instrument } from '@lintel/contract';
import { formatDate } from '@lintel/ui';
import { useQueryClient } from '@tanstack/react-query';
import { DateInput, TextInput, required } from 'react-admin';
import { givenFields } from '../access/dataProvider.js';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { NoteInput } from '../common/inputs.js';

/** Records a calibration from its certificate. */
export function RecordCalibrationDialog({ instrument, onClose }: { instrument: Instrument; onClose: () => void }) {
  const api = useApi();
  const client = useQueryClient();
  const submit = async (values: Record<string, unknown>) => {
    await api.send('POST', '/calibrations', { instrumentId: instrument.id, ...givenFields(values) });
    await client.invalidateQueries();
  };
  return (
    <ActionDialog title={`Calibration of ${instrument.name}`} open onClose={onClose} submit={submit} submitWord="Record it" done="Recorded.">
      <DateInput source="calibratedOn" label="Calibrated on" validate={required()} />
      <DateInput
        source="dueOn"
        label="Due on"
        helperText="The last day on which it is good by its certificate; a force gauge is good no longer than the force limits allow"
        validate={required()}
      />
      <TextInput source="laboratory" label="Laboratory" validate={required()} />
      <TextInput source="certificateNumber" label="Certificate number" />
      <NoteInput />
    </ActionDialog>
  );
}

/** A calibration that was entered in error: it stays on record, and counts no more. */
export function WithdrawCalibrationDialog({ calibration, onClose }: { calibration: Calibration; onClose: () => void }) {
  const api = useApi();
  const client = useQueryClient();
  const submit = async (values: Record<string, unknown>) => {
    await api.send('POST', `/calibrations/${calibration.id}/withdraw`, values);
    await client.invalidateQueries();
  };
  return (
    <ActionDialog
      title={`Withdraw the calibration of ${formatDate(calibration.calibratedOn)}`}
      open
      onClose={onClose}
      submit={submit}
      submitWord="Withdraw it"
      done="Withdrawn."
      grave
    >
      <p>It stays on record with your reason, and counts no more. Whether tests made with this instrument still stand is yours to judge.</p>
      <TextInput source="reason" label="Reason" validate={required()} />
    </ActionDialog>
  );
}
