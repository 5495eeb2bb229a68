import type { DueItem, WorkOrderResults } from '@lintel/contract';
import { count, formatDate, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { useRef, useState } from 'react';
import { useRefresh } from 'react-admin';
import { givenFields } from '../access/dataProvider.js';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { DayInput, TechnicianInput } from './PlanInputs.js';
import { ResultsDialog } from './ResultsDialog.js';
import type { DeedResult } from './ResultsDialog.js';
import { orderLink } from './orderWords.js';

type Due = Pick<DueItem, 'id' | 'doorId' | 'doorName' | 'taskId' | 'taskName' | 'dueOn'>;
const mostShown = 6;

/** Makes an order of each due item, planned for its due day unless another is given. */
export function FromDueDialog({ items, onClose }: { items: readonly Due[]; onClose: () => void }) {
  const api = useApi();
  const refresh = useRefresh();
  const [lines, setLines] = useState<DeedResult[] | null>(null);
  // Once submitted the form closes itself: then the results take its place.
  const submitted = useRef(false);
  const submit = async (values: Record<string, unknown>) => {
    const { results } = await api.send<WorkOrderResults>('POST', '/work-orders/from-due', {
      items: items.map(({ doorId, taskId }) => ({ doorId, taskId })),
      ...givenFields({ technicianId: values['technicianId'], plannedOn: values['plannedOn'] }),
    });
    submitted.current = true;
    setLines(
      items.map((item, index) => {
        const made = results[index];
        const name = `${item.taskName}, ${item.doorName}`;
        return { id: item.id, name: made?.number ? `No. ${made.number}, ${name}` : name, link: made?.id ? orderLink(made.id) : null, refusal: made?.refusal ?? null };
      }),
    );
  };
  const close = () => {
    refresh();
    onClose();
  };
  if (lines) return <ResultsDialog title="Make orders" done="made" lines={lines} onClose={close} />;
  return (
    <ActionDialog
      title={items.length === 1 ? 'Make a work order' : `Make ${count(items.length, 'work order')}`}
      open
      onClose={() => submitted.current || onClose()}
      submit={submit}
      submitWord={items.length === 1 ? 'Make the order' : 'Make the orders'}
      done="Done; what became of each is listed."
    >
      <Box component="ul" sx={{ margin: '0 0 8px', paddingLeft: 2.5 }}>
        {items.slice(0, mostShown).map((item) => (
          <li key={item.id}>
            {item.taskName}, <strong>{item.doorName}</strong> <Box component="span" sx={{ color: palette.slate }}>due {formatDate(item.dueOn)}</Box>
          </li>
        ))}
        {items.length > mostShown ? <li>and {items.length - mostShown} more</li> : null}
      </Box>
      <TechnicianInput />
      <DayInput />
    </ActionDialog>
  );
}
