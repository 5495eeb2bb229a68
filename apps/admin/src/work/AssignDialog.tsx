import type { WorkOrderRow } from '@lintel/contract';
import { count } from '@lintel/ui';
import { HttpError } from 'react-admin';
import { givenFields } from '../access/dataProvider.js';
import { etagOf } from '../access/dataProvider.js';
import { refusalOf } from '../access/http.js';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { DayInput, TechnicianInput } from './PlanInputs.js';
import type { DeedResult } from './ResultsDialog.js';

type Line = Pick<DeedResult, 'refusal' | 'trouble'> & { order: WorkOrderRow };

interface AssignDialogProps {
  orders: readonly WorkOrderRow[];
  onClose: () => void;
  onDone: (lines: Line[]) => void;
}

/** Gives orders a technician, a day, or both; each against the version that was seen. */
export function AssignDialog({ orders, onClose, onDone }: AssignDialogProps) {
  const api = useApi();
  const submit = async (values: Record<string, unknown>) => {
    const given = givenFields({ technicianId: values['technicianId'], plannedOn: values['plannedOn'] });
    if (Object.keys(given).length === 0) throw new HttpError('Choose a technician, a day, or both.', 400, { problem: null });
    const lines: Line[] = [];
    // One after the other: every change takes the company's count of changes, so that together they would only wait for one another.
    for (const order of orders) {
      try {
        await api.send('PATCH', `/work-orders/${order.id}`, given, etagOf(order.version));
        lines.push({ order, refusal: null });
      } catch (error) {
        const { detail, problem } = refusalOf(error);
        lines.push({ order, refusal: problem?.refusal ?? null, ...(problem?.refusal ? {} : { trouble: detail }) });
      }
    }
    onDone(lines);
  };
  return (
    <ActionDialog title={`Assign ${count(orders.length, 'order')}`} open onClose={onClose} submit={submit} submitWord="Assign" done="Done; what became of each is listed.">
      <TechnicianInput />
      <DayInput />
    </ActionDialog>
  );
}
