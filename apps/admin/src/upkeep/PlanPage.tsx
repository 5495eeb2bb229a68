import type { Plan, Task } from '@lintel/contract';
import { SafetyMark, formatMinutes, palette } from '@lintel/ui';
import { Alert, Box, Button } from '@mui/material';
import { useGetList, useGetOne } from 'react-admin';
import { Link, useParams } from 'react-router';
import { useMay } from '../access/hooks.js';
import { Nothing, Trouble, Waiting, WaitingRows } from '../common/faces.js';
import { PageHead, Panel, Stack } from '../common/Page.js';
import { partKindWords } from '../common/words.js';
import { StepLine } from './StepLine.js';
import { intervalWords } from './taskWords.js';

/** One maintenance plan: its tasks, each with its interval, where that comes from, and its checklist. */
export default function PlanPage() {
  const { id = '' } = useParams();
  const { data: plan, error, isPending, refetch } = useGetOne<Plan>('plans', { id });
  const mayChange = useMay('write', 'plans');
  if (error) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending || !plan) return <Waiting what="the plan" />;
  return (
    <>
      <PageHead
        title={plan.name}
        up={{ to: '/plans', word: 'Maintenance plans' }}
        facts={
          <span>
            For doors of type <Link to={`/door-types/${plan.doorTypeId}/show`}>{plan.doorTypeName}</Link>
          </span>
        }
        actions={
          mayChange ? (
            <>
              <Button component={Link} to={`/plans/${plan.id}`} variant="outlined">
                Change
              </Button>
              <Button component={Link} to={`/tasks/create?planId=${plan.id}`} variant="contained">
                Add a task
              </Button>
            </>
          ) : null
        }
      />
      <Stack>
        <Alert severity="info" icon={false}>
          Confirm every interval against local rules and the maker’s manual. A site’s own rules can only tighten a safety inspection, and no computed
          figure ever extends one.
        </Alert>
        <Tasks planId={plan.id} mayChange={mayChange} />
      </Stack>
    </>
  );
}

function Tasks({ planId, mayChange }: { planId: string; mayChange: boolean }) {
  const { data: tasks, error, isPending, refetch } = useGetList<Task>('tasks', {
    filter: { planId, archived: 'false' },
    pagination: { page: 1, perPage: 100 },
    sort: { field: 'name', order: 'ASC' },
  });
  if (error) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending) return <WaitingRows />;
  const ordered = [...tasks].sort((a, b) => Number(b.safety) - Number(a.safety));
  if (ordered.length === 0) {
    return (
      <Panel>
        <Nothing title="No tasks yet">A task says what is to be done, how often, and in which steps.</Nothing>
      </Panel>
    );
  }
  return (
    <>
      {ordered.map((task) => (
        <TaskPanel key={task.id} task={task} mayChange={mayChange} />
      ))}
    </>
  );
}

function TaskPanel({ task, mayChange }: { task: Task; mayChange: boolean }) {
  return (
    <Panel
      title={task.name}
      note={task.safety ? <SafetyMark /> : 'maintenance'}
      actions={
        mayChange ? (
          <Button component={Link} to={`/tasks/${task.id}`} size="small" variant="outlined" aria-label={`Change ${task.name}`}>
            Change
          </Button>
        ) : null
      }
    >
      <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: '2px 22px' }}>
        <strong>{intervalWords(task)}</strong>
        <span>{formatMinutes(task.minutes)}</span>
        <span>
          {task.earlyDays > 0 ? `up to ${task.earlyDays} days early` : 'not early'}, {task.graceDays > 0 ? `${task.graceDays} days’ grace` : 'no grace'}
        </span>
        {task.skills.length > 0 ? <span>needs {task.skills.join(', ')}</span> : null}
        {task.parts.length > 0 ? <span>takes {task.parts.map((kind) => partKindWords[kind].toLowerCase()).join(', ')}</span> : null}
      </Box>
      <Box sx={{ color: palette.slate }}>Interval from: {task.source}</Box>
      {task.checklist.length > 0 ? (
        <Box component="ol" sx={{ margin: '8px 0 0', paddingLeft: 2.8, columns: { lg: 2 }, columnGap: 4 }}>
          {task.checklist.map((step, index) => (
            <Box component="li" key={index} sx={{ breakInside: 'avoid' }}>
              <StepLine step={step} />
            </Box>
          ))}
        </Box>
      ) : null}
    </Panel>
  );
}
