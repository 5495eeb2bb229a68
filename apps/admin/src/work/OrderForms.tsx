import type { Door, FindingRow, Task, WorkOrderRow } from '@lintel/contract';
import { SeverityMark, formatMinutes, workKindWords } from '@lintel/ui';
import { Alert, Box } from '@mui/material';
import { AutocompleteArrayInput, AutocompleteInput, FormDataConsumer, NumberInput, ReferenceInput, SelectInput, TextArrayInput, TextInput, required, useGetList, useGetOne } from 'react-admin';
import type { RaRecord } from 'react-admin';
import { useSearchParams } from 'react-router';
import { InstantInput, NoteInput } from '../common/inputs.js';
import { Trouble, Waiting } from '../common/faces.js';
import { CreatePage, EditPage } from '../common/RecordForm.js';
import { choicesOf, partKindWords } from '../common/words.js';
import { DayInput, TechnicianInput } from './PlanInputs.js';
import { orderLink, orderNumber } from './orderWords.js';

const up = { to: '/work-orders', word: 'Work orders' };
const then = (_resource: string | undefined, id: RaRecord['id'] | undefined) => orderLink(String(id));

/** Makes an order: by hand, for a task of the door, or to put a finding right (`?findingId=…`, `?doorId=…`). */
export function OrderCreate() {
  const [parameters] = useSearchParams();
  const findingId = parameters.get('findingId');
  if (findingId) return <FromFinding findingId={findingId} />;
  const doorId = parameters.get('doorId');
  return (
    <CreatePage resource="work-orders" heading="Make a work order" up={up} then={then} tidy={byHandOrTask} defaults={{ ...(doorId ? { doorId } : {}), kind: 'corrective', minutes: 60 }}>
      <DoorChoice />
      <TaskChoice />
      <FormDataConsumer>{({ formData }) => (formData['taskId'] ? <FromTask taskId={String(formData['taskId'])} /> : <ByHand />)}</FormDataConsumer>
      <NoteInput source="instructions" label="Instructions" />
      <TechnicianInput />
      <DayInput />
    </CreatePage>
  );
}

/** What a task says of itself is not sent beside it. */
export function byHandOrTask(values: Record<string, unknown>): Record<string, unknown> {
  if (!values['taskId']) return values;
  const { kind: _kind, title: _title, minutes: _minutes, skills: _skills, parts: _parts, ...rest } = values;
  return rest;
}

function DoorChoice() {
  return (
    <ReferenceInput source="doorId" reference="doors" filter={{ state: 'in-service,out-of-service' }} sort={{ field: 'name', order: 'ASC' }} perPage={50}>
      <AutocompleteInput label="Door" optionText={({ name, siteName }: Door) => `${name}, ${siteName}`} filterToQuery={(text: string) => ({ q: text })} validate={required()} />
    </ReferenceInput>
  );
}

function TaskChoice() {
  return <FormDataConsumer>{({ formData }) => <TaskOfDoor doorId={formData['doorId'] ? String(formData['doorId']) : null} />}</FormDataConsumer>;
}

function TaskOfDoor({ doorId }: { doorId: string | null }) {
  const { data: door } = useGetOne<Door>('doors', { id: doorId ?? '' }, { enabled: doorId !== null });
  const { data: tasks = [] } = useGetList<Task>(
    'tasks',
    { filter: { doorTypeId: door?.doorTypeId, archived: 'false' }, pagination: { page: 1, perPage: 100 }, sort: { field: 'name', order: 'ASC' } },
    { enabled: door !== undefined },
  );
  if (!door) return null;
  return <SelectInput source="taskId" label="Task of its maintenance plan" choices={tasks} optionText="name" emptyText="None: described below" helperText="The steps come from the task’s checklist" />;
}

function FromTask({ taskId }: { taskId: string }) {
  const { data: task } = useGetOne<Task>('tasks', { id: taskId });
  if (!task) return null;
  return (
    <Alert severity="info" icon={false} sx={{ width: '100%', marginBottom: 1 }}>
      {task.safety ? 'A safety inspection' : 'Maintenance'}, {formatMinutes(task.minutes)}, {task.checklist.length} steps in its checklist.
    </Alert>
  );
}

function ByHand() {
  return (
    <>
      <SelectInput source="kind" label="Kind of work" choices={choicesOf(workKindWords)} validate={required()} />
      <TextInput source="title" label="What is to be done" validate={required()} />
      <NumberInput source="minutes" label="Minutes it takes" min={1} step={1} validate={required()} />
      <TextArrayInput source="skills" label="Skills needed" fullWidth helperText="Type one, then Enter" />
      <AutocompleteArrayInput source="parts" label="Parts to take" choices={choicesOf(partKindWords)} />
    </>
  );
}

function FromFinding({ findingId }: { findingId: string }) {
  const { data: finding, error, isPending, refetch } = useGetOne<FindingRow>('findings', { id: findingId });
  if (error) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending || !finding) return <Waiting what="the finding" />;
  return (
    <CreatePage resource="work-orders" heading="Make an order to put a finding right" up={{ to: `/doors/${finding.doorId}/show`, word: `Door ${finding.doorName}` }} then={then} defaults={{ findingId, minutes: 60 }}>
      <Box sx={{ marginBottom: 1 }}>
        <SeverityMark severity={finding.severity} />
        <Box sx={{ whiteSpace: 'pre-wrap' }}>{finding.text}</Box>
      </Box>
      <TextInput source="title" label="What is to be done" helperText="Left empty: taken from the finding" />
      <NumberInput source="minutes" label="Minutes it takes" min={1} step={1} />
      <NoteInput source="instructions" label="Instructions" />
      <TechnicianInput />
      <DayInput />
    </CreatePage>
  );
}

const fields = ['title', 'instructions', 'technicianId', 'plannedOn', 'plannedStart', 'minutes'];

export function OrderEdit() {
  return (
    <EditPage
      resource="work-orders"
      heading={(order) => `Change ${orderNumber(order as unknown as WorkOrderRow)}`}
      up={(order) => ({ to: orderLink(String(order.id)), word: String(order['title']) })}
      then={then}
      fields={fields}
    >
      <TextInput source="title" label="What is to be done" validate={required()} />
      <NoteInput source="instructions" label="Instructions" />
      <TechnicianInput />
      <DayInput />
      <FormDataConsumer>{({ formData }) => (formData['timeZone'] ? <InstantInput source="plannedStart" label="From what hour" timeZone={String(formData['timeZone'])} needed={false} /> : null)}</FormDataConsumer>
      <NumberInput source="minutes" label="Minutes it takes" min={1} step={1} validate={required()} />
    </EditPage>
  );
}
