import { Alert } from '@mui/material';
import { BooleanInput, TextInput, required } from 'react-admin';
import { etagOf } from '../../access/dataProvider.js';
import { useApi } from '../../access/hooks.js';
import { ActionDialog } from '../../common/ActionDialog.js';
import type { DoorDialogProps } from './RecordReadingDialog.js';

/** Takes a door out of service, or puts it back; either way with the reason. */
export function SetStateDialog({ door, onClose }: DoorDialogProps) {
  const api = useApi();
  const out = door.state === 'in-service';
  const submit = (values: Record<string, unknown>) =>
    api.send('POST', `/doors/${door.id}/state`, { state: out ? 'out-of-service' : 'in-service', reason: values['reason'] }, etagOf(door.version));
  return (
    <ActionDialog
      title={out ? `Take door ${door.name} out of service` : `Put door ${door.name} back into service`}
      open
      onClose={onClose}
      submit={submit}
      submitWord={out ? 'Take it out of service' : 'Put it back into service'}
      done={out ? 'The door is out of service.' : 'The door is in service.'}
      atDoor
      grave={out}
    >
      {out ? null : (
        <Alert severity="warning" icon={false} sx={{ marginBottom: 1 }}>
          Put a door back into service only after every safety device has been tested by a competent person, and nobody is left at the opening.
        </Alert>
      )}
      <TextInput source="reason" label="Reason" validate={required()} multiline minRows={2} helperText="Everybody who looks at the door reads this" />
      {out ? null : <BooleanInput source="tested" label="The safety devices have been tested" validate={mustBeTrue} />}
    </ActionDialog>
  );
}

const mustBeTrue = (value: unknown) => (value === true ? undefined : 'Confirm this first');

/** The door is gone for good; its history stays. */
export function DecommissionDialog({ door, onClose }: DoorDialogProps) {
  const api = useApi();
  const submit = (values: Record<string, unknown>) =>
    api.send('POST', `/doors/${door.id}/decommission`, { reason: values['reason'] }, etagOf(door.version));
  return (
    <ActionDialog
      title={`Decommission door ${door.name}`}
      open
      onClose={onClose}
      submit={submit}
      submitWord="Decommission it"
      done="The door has been decommissioned."
      atDoor
      grave
    >
      <Alert severity="warning" icon={false} sx={{ marginBottom: 1 }}>
        This cannot be taken back. Nothing falls due at the door any more; all that was recorded about it stays.
      </Alert>
      <TextInput source="reason" label="Reason" validate={required()} multiline minRows={2} />
    </ActionDialog>
  );
}
