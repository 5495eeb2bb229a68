import type { WholeWorkOrder, WorkAnswerRow } from '@lintel/contract';
import { isSafetyCheck } from '@lintel/engine';
import { outcomeWords, palette, stepValueWords } from '@lintel/ui';
import { Box } from '@mui/material';
import { HttpError, RadioButtonGroupInput, TextInput, required } from 'react-admin';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { byTheRules } from './refusals.js';
import { answerOf } from './steps.js';
import type { StepState } from './steps.js';

interface SettleDialogProps {
  order: WholeWorkOrder;
  state: StepState;
  standing: WorkAnswerRow;
  contested: WorkAnswerRow;
  onClose: () => void;
}

const words = ({ value, accountName }: WorkAnswerRow): string =>
  `${outcomeWords[value.outcome]}: ${stepValueWords(value)}${accountName ? ` (${accountName})` : ''}${value.remark ? `, “${value.remark}”` : ''}`;

/** Ends a contradiction: one of the two answers is given again, over the one that stood, by whoever settles it. */
export function SettleDialog({ order, state, standing, contested, onClose }: SettleDialogProps) {
  const api = useApi();
  const safety = isSafetyCheck(state.step);
  const submit = async (values: Record<string, unknown>) => {
    const chosen = values['stands'] === contested.id ? contested : standing;
    const remark = values['remark'];
    const answer = answerOf(chosen.value, typeof remark === 'string' ? remark : undefined);
    if (answer === null) throw new HttpError('The single readings of this test were not kept: it has to be measured again at the door.', 409, { problem: null });
    await byTheRules(api.send('POST', `/work-orders/${order.id}/answer`, { stepId: state.step.id, answer, baseId: standing.id, settlesId: contested.id }));
  };
  return (
    <ActionDialog title="Settle the contradiction" open onClose={onClose} submit={submit} submitWord="Let it stand" done="Settled." wide>
      <Box sx={{ marginBottom: 1 }}>
        <strong>{state.step.text}</strong>
        {safety ? <Box sx={{ color: palette.inkSoft }}>This is a safety check. Where you are not sure, have it tested again at the door instead.</Box> : null}
      </Box>
      <RadioButtonGroupInput
        source="stands"
        label="Which one stands"
        row={false}
        choices={[
          { id: standing.id, name: words(standing) },
          { id: contested.id, name: words(contested) },
        ]}
        validate={required()}
      />
      <TextInput source="remark" label="Why" multiline minRows={2} helperText={safety ? 'Kept with the answer' : false} {...(safety ? { validate: required() } : {})} />
    </ActionDialog>
  );
}
