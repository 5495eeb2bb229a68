import type { Counter } from '@lintel/contract';
import { formatWhole } from '@lintel/ui';
import { Alert } from '@mui/material';
import { useRef } from 'react';
import { TextInput, useGetList } from 'react-admin';
import { etagOf, givenFields } from '../../access/dataProvider.js';
import { useApi } from '../../access/hooks.js';
import { ActionDialog } from '../../common/ActionDialog.js';
import { useNow } from '../../common/now.js';
import { CyclesInput, InstantInput } from '../../common/inputs.js';
import type { DoorDialogProps } from './RecordReadingDialog.js';

/** The counter, as a rule with its controller, was replaced: the old count ends, a new one begins. */
export function ChangeCounterDialog({ door, site, onClose }: DoorDialogProps) {
  const api = useApi();
  const now = useNow();
  const removed = useRef(false);
  const { data: counters = [], isPending } = useGetList<Counter>('counters', {
    filter: { doorId: door.id, fitted: 'true' },
    pagination: { page: 1, perPage: 20 },
    sort: { field: 'fittedAt', order: 'DESC' },
  });
  const old = counters[0];
  const submit = async (values: Record<string, unknown>) => {
    if (old && !removed.current) {
      await api.send('POST', `/counters/${old.id}/remove`, { at: values['at'] }, etagOf(old.version));
      removed.current = true;
    }
    const fitted = { doorId: door.id, name: values['name'], fittedAt: values['at'], modulus: values['modulus'], startValue: values['startValue'], startCycles: values['startCycles'] };
    await api.send('POST', '/counters', givenFields(fitted));
  };
  if (isPending) return null;
  return (
    <ActionDialog
      title={`${old ? 'Change' : 'Record'} the counter of door ${door.name}`}
      open
      onClose={onClose}
      submit={submit}
      submitWord="Record the counter"
      done="The counter has been recorded; the duty is computed anew in a few seconds."
      defaults={{ at: now, startValue: 0, name: old?.name ?? 'main' }}
      atDoor
    >
      {old ? (
        <Alert severity="info" icon={false} sx={{ marginBottom: 1 }}>
          The present counter “{old.name}”{old.modulus === null ? '' : `, rolling over at ${formatWhole(old.modulus)},`} ends at this time. Its
          readings stay.
        </Alert>
      ) : null}
      <TextInput source="name" label="Name of the counter" />
      <InstantInput source="at" label="Fitted at" timeZone={site.timeZone} />
      <CyclesInput source="startValue" label="It showed when fitted" />
      <CyclesInput source="modulus" label="Rolls over to 0 at" helperText="1,000,000 for six digits; left empty: not known" />
      <CyclesInput source="startCycles" label="Lifetime cycles of the door then" helperText="Left empty: carried on from the old counter" />
    </ActionDialog>
  );
}
