import type { Door, FindingRow } from '@lintel/contract';
import { severityMeanings, severityWords } from '@lintel/ui';
import { Alert } from '@mui/material';
import { FormDataConsumer, SelectInput, TextInput, required } from 'react-admin';
import { etagOf, givenFields } from '../access/dataProvider.js';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { choicesOf } from '../common/words.js';
import { useDoor } from '../fleet/doors/useDoor.js';
import { byTheRules } from './refusals.js';

/** Something was seen wrong on a door. */
export function ReportFindingDialog({ door, onClose }: { door: Door; onClose: () => void }) {
  const api = useApi();
  const { positions } = useDoor(door.id);
  const submit = (values: Record<string, unknown>) =>
    byTheRules(api.send('POST', '/findings', givenFields({ doorId: door.id, severity: values['severity'], text: values['text'], positionId: values['positionId'] })));
  return (
    <ActionDialog title={`Report a finding at door ${door.name}`} open onClose={onClose} submit={submit} submitWord="Report it" done="The finding has been reported." defaults={{ severity: 'defect' }} atDoor>
      <SelectInput source="severity" label="How bad it is" choices={choicesOf(severityWords)} validate={required()} helperText={false} />
      <FormDataConsumer>
        {({ formData }) => {
          const severity = formData['severity'] as keyof typeof severityMeanings | undefined;
          return severity ? (
            <Alert severity={severity === 'unsafe' ? 'warning' : 'info'} icon={false} sx={{ marginBlock: 0.5 }}>
              {severityMeanings[severity]}
            </Alert>
          ) : null;
        }}
      </FormDataConsumer>
      <SelectInput source="positionId" label="Where" choices={positions.map(({ id, position }) => ({ id, name: position.name }))} emptyText="No single position" />
      <TextInput source="text" label="What was seen" multiline minRows={2} validate={required()} helperText={false} />
    </ActionDialog>
  );
}

/** A note or a defect was put right by hand; an unsafe one is cleared by a passed retest alone. */
export function ResolveFindingDialog({ finding, onClose }: { finding: FindingRow; onClose: () => void }) {
  const api = useApi();
  const submit = (values: Record<string, unknown>) =>
    byTheRules(api.send('PATCH', `/findings/${finding.id}`, { resolution: values['resolution'] }, etagOf(finding.version)));
  return (
    <ActionDialog title="It has been put right" open onClose={onClose} submit={submit} submitWord="Close the finding" done="The finding is closed.">
      <p>{finding.text}</p>
      <TextInput source="resolution" label="How it was put right" validate={required()} helperText="Kept with the finding" />
    </ActionDialog>
  );
}
