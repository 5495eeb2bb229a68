import type { Counter, Door, ReadingsTaken, Site } from '@lintel/contract';
import { Alert } from '@mui/material';
import { HttpError, SelectInput, useGetList } from 'react-admin';
import { givenFields } from '../../access/dataProvider.js';
import { useApi } from '../../access/hooks.js';
import { ActionDialog } from '../../common/ActionDialog.js';
import { useNow } from '../../common/now.js';
import { CyclesInput, InstantInput } from '../../common/inputs.js';

export interface DoorDialogProps {
  door: Door;
  site: Site;
  onClose: () => void;
}

/** One value of the counter, as somebody read it at the door. */
export function RecordReadingDialog({ door, site, onClose }: DoorDialogProps) {
  const api = useApi();
  const now = useNow();
  const { data: counters = [] } = useGetList<Counter>('counters', {
    filter: { doorId: door.id, fitted: 'true' },
    pagination: { page: 1, perPage: 20 },
    sort: { field: 'fittedAt', order: 'DESC' },
  });
  const submit = async (values: Record<string, unknown>) => {
    const reading = givenFields({ doorId: door.id, at: values['at'], value: values['value'], counterId: values['counterId'] });
    const taken = await api.send<ReadingsTaken>('POST', '/readings', { readings: [reading], source: 'form' });
    const refusal = taken.refused[0];
    if (refusal) throw new HttpError(`${refusal.field}: ${refusal.message}`, 400, { problem: null });
  };
  return (
    <ActionDialog
      title={`Record a reading of door ${door.name}`}
      open
      onClose={onClose}
      submit={submit}
      submitWord="Record the reading"
      done="The reading has been recorded; its verdict follows in a few seconds."
      defaults={{ at: now }}
    >
      <Alert severity="info" icon={false} sx={{ marginBottom: 1 }}>
        Read the counter from where it can be seen without opening anything. Inside the cabinet, isolate and prove dead first.
      </Alert>
      <CyclesInput source="value" label="The counter shows" needed />
      <InstantInput source="at" label="Read at" timeZone={site.timeZone} />
      {counters.length > 1 ? <SelectInput source="counterId" label="Counter" choices={counters} optionText="name" /> : null}
    </ActionDialog>
  );
}
