import type { Competence } from '@lintel/contract';
import { useQueryClient } from '@tanstack/react-query';
import { DateInput, SelectInput, TextInput, required } from 'react-admin';
import { givenFields } from '../access/dataProvider.js';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { NoteInput, RecordInput } from '../common/inputs.js';
import { useToday } from '../common/now.js';
import { choicesOf } from '../common/words.js';
import { competenceKindWords } from './competenceWords.js';

/** Records that somebody may do something, with the evidence. */
export function RecordCompetenceDialog({ onClose }: { onClose: () => void }) {
  const api = useApi();
  const client = useQueryClient();
  const submit = async (values: Record<string, unknown>) => {
    await api.send('POST', '/competences', givenFields(values));
    await client.invalidateQueries();
  };
  return (
    <ActionDialog title="Record a competence" open onClose={onClose} submit={submit} submitWord="Record it" done="Recorded." defaults={{ validFrom: useToday() }}>
      <RecordInput source="accountId" resource="people" label="Person" needed filter={{ role: ['technician', 'planner', 'administrator'] }} />
      <SelectInput source="kind" label="Competent for" choices={choicesOf(competenceKindWords)} validate={required()} />
      <TextInput source="evidence" label="Evidence" helperText="What it rests on: course, examination, certificate number" validate={required()} />
      <TextInput source="issuer" label="Issued by" validate={required()} />
      <DateInput source="validFrom" label="Valid from" validate={required()} />
      <DateInput source="validUntil" label="Valid through" helperText="The last day; left empty: without end" />
      <NoteInput />
    </ActionDialog>
  );
}

/** From a day on it holds no more; the record stays. */
export function RevokeCompetenceDialog({ competence, onClose }: { competence: Competence; onClose: () => void }) {
  const api = useApi();
  const client = useQueryClient();
  const submit = async (values: Record<string, unknown>) => {
    await api.send('POST', `/competences/${competence.id}/revoke`, values);
    await client.invalidateQueries();
  };
  return (
    <ActionDialog
      title={`Revoke: ${competence.accountName}, ${competenceKindWords[competence.kind]}`}
      open
      onClose={onClose}
      submit={submit}
      submitWord="Revoke it"
      done="Revoked."
      defaults={{ revokedOn: useToday() }}
      grave
    >
      <p>From that day on it holds no more. It stays on record with your reason. Inspections completed before stand as they are; look at those that the day reaches back to.</p>
      <DateInput source="revokedOn" label="From" validate={required()} />
      <TextInput source="reason" label="Reason" validate={required()} />
    </ActionDialog>
  );
}
