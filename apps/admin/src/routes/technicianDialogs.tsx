import type { Absence, Technician } from '@lintel/contract';
import { formatDateRange } from '@lintel/ui';
import { DateInput, TextInput, required } from 'react-admin';
import { etagOf, givenFields } from '../access/dataProvider.js';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';

interface OfTechnician {
  technician: Technician;
  onClose: () => void;
}

export function AbsenceDialog({ technician, onClose }: OfTechnician) {
  const api = useApi();
  const submit = (values: Record<string, unknown>) => api.send('POST', '/absences', { technicianId: technician.id, ...givenFields(values) });
  return (
    <ActionDialog title={`Absence of ${technician.name}`} open onClose={onClose} submit={submit} submitWord="Add it" done="Added; plans made from now on heed it.">
      <DateInput source="fromOn" label="First day" validate={required()} helperText={false} />
      <DateInput source="toOn" label="Last day" validate={required()} helperText={false} />
      <TextInput source="note" label="Note" helperText="Seen by the whole staff" />
    </ActionDialog>
  );
}

export function EndDialog({ absence, onClose }: { absence: Absence; onClose: () => void }) {
  const api = useApi();
  const submit = () => api.send('DELETE', `/absences/${absence.id}`, undefined, etagOf(absence.version));
  return (
    <ActionDialog title="Take the absence back" open onClose={onClose} submit={submit} submitWord="Take it back" done="Taken back.">
      {absence.technicianName} can be planned again: {formatDateRange(absence.fromOn, absence.toOn)}.
    </ActionDialog>
  );
}
