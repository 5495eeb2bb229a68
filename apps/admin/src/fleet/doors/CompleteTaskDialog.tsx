import type { Task } from '@lintel/contract';
import { SafetyMark, formatMinutes, palette } from '@lintel/ui';
import { Alert, Box } from '@mui/material';
import { BooleanInput, FormDataConsumer, SelectInput, required, useGetList } from 'react-admin';
import { givenFields } from '../../access/dataProvider.js';
import { useApi } from '../../access/hooks.js';
import { ActionDialog } from '../../common/ActionDialog.js';
import { useNow } from '../../common/now.js';
import { CyclesInput, InstantInput, NoteInput } from '../../common/inputs.js';
import { StepLine } from '../../upkeep/StepLine.js';
import type { DoorDialogProps } from './RecordReadingDialog.js';

/** A task of the maintenance plan was done at this door: a fact with its time, its result and a note. */
export function CompleteTaskDialog({ door, site, onClose, taskId }: DoorDialogProps & { taskId?: string }) {
  const api = useApi();
  const now = useNow();
  const { data: tasks = [] } = useGetList<Task>('tasks', {
    filter: { doorTypeId: door.doorTypeId, archived: 'false' },
    pagination: { page: 1, perPage: 100 },
    sort: { field: 'name', order: 'ASC' },
  });
  const submit = (values: Record<string, unknown>) =>
    api.send('POST', '/completions', {
      ...givenFields({ doorId: door.id, taskId: values['taskId'], doneAt: values['doneAt'], lifetimeCycles: values['lifetimeCycles'], note: values['note'] }),
      passed: values['passed'] !== false,
    });
  return (
    <ActionDialog
      title={`Complete a task at door ${door.name}`}
      open
      onClose={onClose}
      submit={submit}
      submitWord="Record it as done"
      done="The task has been recorded; its next date follows in a few seconds."
      defaults={{ doneAt: now, passed: true, ...(taskId ? { taskId } : {}) }}
      atDoor
      wide
    >
      <SelectInput source="taskId" label="Task" choices={tasks} optionText="name" validate={required()} />
      <FormDataConsumer>{({ formData }) => <TaskSteps task={tasks.find((task) => task.id === formData['taskId'])} passed={formData['passed'] !== false} />}</FormDataConsumer>
      <InstantInput source="doneAt" label="Done at" timeZone={site.timeZone} />
      <CyclesInput source="lifetimeCycles" label="Lifetime cycles of the door then" helperText="Left empty: taken from the counter’s history" />
      <NoteInput />
    </ActionDialog>
  );
}

function TaskSteps({ task, passed }: { task: Task | undefined; passed: boolean }) {
  if (!task) return null;
  return (
    <Box sx={{ background: palette.frost, border: `1px solid ${palette.line}`, borderRadius: '3px', padding: '10px 14px', marginBlock: 1 }}>
      <Box sx={{ display: 'flex', gap: 2, flexWrap: 'wrap' }}>
        {task.safety ? <SafetyMark /> : <span>maintenance</span>}
        <span>{formatMinutes(task.minutes)}</span>
        {task.skills.length > 0 ? <span>needs {task.skills.join(', ')}</span> : null}
      </Box>
      {task.checklist.length > 0 ? (
        <Box component="ol" sx={{ margin: '6px 0 0', paddingLeft: 2.5 }}>
          {task.checklist.map((step, index) => (
            <li key={index}>
              <StepLine step={step} />
            </li>
          ))}
        </Box>
      ) : null}
      <BooleanInput source="passed" label={task.safety ? 'Every safety device passed' : 'Done without a finding'} helperText={false} />
      {task.safety && !passed ? (
        <Alert severity="warning" icon={false}>
          A door whose safety device failed must not stay in use: take it out of service and keep people away until it has been mended and tested.
        </Alert>
      ) : null}
    </Box>
  );
}
