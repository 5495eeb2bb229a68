import { taskRules } from '@lintel/contract';
import type { Plan } from '@lintel/contract';
import { Alert, Box } from '@mui/material';
import {
  AutocompleteArrayInput,
  BooleanInput,
  DateInput,
  FormDataConsumer,
  NumberInput,
  SelectInput,
  TextArrayInput,
  TextInput,
  required,
  useGetOne,
} from 'react-admin';
import { useSearchParams } from 'react-router';
import { CyclesInput } from '../common/inputs.js';
import { CreatePage, EditPage } from '../common/RecordForm.js';
import { choicesOf, partKindWords } from '../common/words.js';
import { ChecklistInput } from './ChecklistInput.js';
import { checklistErrors, tidyStep } from './stepFields.js';

const fields = ['name', 'safety', 'intervalMonths', 'intervalCycles', 'anchor', 'fixedFrom', 'earlyDays', 'graceDays', 'minutes', 'skills', 'checklist', 'parts', 'source'];

/** Steps as the server takes them: what a step does not have is left out. */
export function tidyTask(values: Record<string, unknown>): Record<string, unknown> {
  const checklist = values['checklist'];
  if (!Array.isArray(checklist)) return values;
  return { ...values, checklist: checklist.map((step: Record<string, unknown>) => tidyStep(step)) };
}

/** What the form can say itself, each at its field; the server checks the rest. */
function taskErrors(values: Record<string, unknown>): Record<string, unknown> {
  const needed = ['name', 'minutes', 'source'].filter((field) => !values[field]);
  return {
    ...Object.fromEntries(needed.map((field) => [field, 'Required'])),
    ...Object.fromEntries(taskRules(values).map(({ field, message }) => [field, message])),
    ...checklistErrors(values['checklist']),
  };
}

function Fields({ doorTypeId }: { doorTypeId?: string | undefined }) {
  return (
    <>
      <TextInput source="name" label="Task" validate={required()} />
      <BooleanInput source="safety" label="It is a safety inspection" helperText="Function test of safety devices by a competent person; nothing computed ever extends its interval" />
      <FormDataConsumer>
        {({ formData }) =>
          formData['safety'] ? (
            <Alert severity="info" icon={false} sx={{ width: '100%', marginBottom: 1 }}>
              Name the rule behind the interval and confirm it against local rules. Grace is for a safety inspection only where that rule gives it.
            </Alert>
          ) : null
        }
      </FormDataConsumer>
      <Pair>
        <NumberInput source="intervalMonths" label="Every so many months" min={1} step={1} />
        <CyclesInput source="intervalCycles" label="Every so many cycles" />
      </Pair>
      <TextInput source="source" label="Where the interval comes from" validate={required()} helperText="Rule, maker’s manual, or common practice" />
      <Pair>
        <SelectInput
          source="anchor"
          label="Months count from"
          choices={[
            { id: 'completion', name: 'the last time it was done' },
            { id: 'fixed', name: 'a fixed date' },
          ]}
          validate={required()}
        />
        <FormDataConsumer>{({ formData }) => (formData['anchor'] === 'fixed' ? <DateInput source="fixedFrom" label="Fixed date" validate={required()} /> : <Box />)}</FormDataConsumer>
      </Pair>
      <Pair>
        <NumberInput source="earlyDays" label="May be done so many days early" min={0} step={1} />
        <NumberInput source="graceDays" label="Days of grace after the due date" min={0} step={1} />
      </Pair>
      <NumberInput source="minutes" label="Minutes it takes" min={1} step={1} validate={required()} />
      <TextArrayInput source="skills" label="Skills needed" fullWidth helperText="Type one, then Enter" />
      <AutocompleteArrayInput source="parts" label="Parts it usually takes" choices={choicesOf(partKindWords)} />
      <FormDataConsumer>{({ formData }) => <ChecklistInput doorTypeId={doorTypeId ?? (formData['doorTypeId'] as string | undefined)} />}</FormDataConsumer>
    </>
  );
}

function Pair({ children }: { children: React.ReactNode }) {
  return <Box sx={{ display: 'grid', gridTemplateColumns: { xs: '1fr', sm: '1fr 1fr' }, gap: '0 16px', width: '100%' }}>{children}</Box>;
}

const planPage = (planId: unknown) => `/plans/${String(planId)}/show`;

export function TaskCreate() {
  const [parameters] = useSearchParams();
  const planId = parameters.get('planId') ?? '';
  const { data: plan } = useGetOne<Plan>('plans', { id: planId }, { enabled: planId !== '' });
  return (
    <CreatePage
      resource="tasks"
      heading="Add a task"
      up={{ to: planId ? planPage(planId) : '/plans', word: 'Maintenance plan' }}
      then={(_resource, _id, task) => planPage(task?.['planId'] ?? planId)}
      defaults={{ planId, safety: false, anchor: 'completion', earlyDays: 0, graceDays: 0, checklist: [], skills: [], parts: [] }}
      validate={taskErrors}
      tidy={tidyTask}
    >
      <Fields doorTypeId={plan?.doorTypeId} />
    </CreatePage>
  );
}

export function TaskEdit() {
  return (
    <EditPage
      resource="tasks"
      heading={(task) => String(task['name'])}
      up={(task) => ({ to: planPage(task['planId']), word: String(task['planName']) })}
      then={(_resource, _id, task) => planPage(task?.['planId'])}
      archiving="It no longer falls due; what was done stays."
      fields={fields}
      validate={taskErrors}
      tidy={tidyTask}
    >
      <Fields />
    </EditPage>
  );
}
