import type { WholeWorkOrder, WorkAnswerRow } from '@lintel/contract';
import { ForcePoints, OutcomeMark, SafetyMark, formatInstant, palette, stepKindWords, stepValueWords } from '@lintel/ui';
import { isSafetyCheck } from '@lintel/engine';
import { Box, Button } from '@mui/material';
import { useState } from 'react';
import { useMay } from '../access/hooks.js';
import { Nothing } from '../common/faces.js';
import { Panel } from '../common/Page.js';
import { stepLimits } from '../upkeep/StepLine.js';
import { SettleDialog } from './SettleDialog.js';
import { Thumbnails } from './Thumbnails.js';
import { positionOf, stepStates } from './steps.js';
import type { StepState } from './steps.js';

interface StepsPanelProps {
  order: WholeWorkOrder;
  /** Only the steps at this position. */
  selectedPosition: string | null;
}

/** The steps with their answers: what, by whom, when; contradictions stand side by side until somebody settles them. */
export function StepsPanel({ order, selectedPosition }: StepsPanelProps) {
  const settles = useMay('write', 'work-orders') && order.state === 'started';
  const [settling, setSettling] = useState<{ state: StepState; contested: WorkAnswerRow } | null>(null);
  const all = stepStates(order);
  const shown = selectedPosition === null ? all : all.filter(({ step }) => positionOf(step) === selectedPosition);
  return (
    <Panel title="Steps" note={all.length > 0 ? `${order.answeredCount} of ${order.stepCount} answered` : undefined} flush>
      {all.length === 0 ? (
        <Nothing title="No steps yet">They are copied from the task’s checklist when the order is released, and stay as they are from then on.</Nothing>
      ) : (
        <Box component="ol" sx={{ listStyle: 'none', margin: 0, padding: 0 }}>
          {shown.map((state) => (
            <Step key={state.step.id} state={state} order={order} onSettle={settles ? (contested) => setSettling({ state, contested }) : undefined} />
          ))}
          {shown.length === 0 ? <Box component="li" sx={{ padding: '6px 16px 14px', color: palette.slate }}>No step at this position.</Box> : null}
        </Box>
      )}
      {settling?.state.standing ? <SettleDialog order={order} state={settling.state} standing={settling.state.standing} contested={settling.contested} onClose={() => setSettling(null)} /> : null}
    </Panel>
  );
}

interface StepProps {
  state: StepState;
  order: WholeWorkOrder;
  onSettle: ((contested: WorkAnswerRow) => void) | undefined;
}

function Step({ state: { step, index, standing, earlier, contested }, order, onSettle }: StepProps) {
  const failed = standing?.value.outcome === 'failed';
  return (
    <Box component="li" sx={{ padding: '8px 16px', borderTop: `1px solid ${palette.lineSoft}`, ...(failed || contested.length > 0 ? { boxShadow: `inset 5px 0 0 ${palette.signal}` } : {}) }}>
      <Box sx={{ display: 'grid', gridTemplateColumns: '28px minmax(0, 1fr)', gap: '0 6px' }}>
        <Box sx={{ color: palette.slate, fontWeight: 650 }}>{index + 1}</Box>
        <Box sx={{ minWidth: 0, overflowWrap: 'anywhere' }}>
          <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: '0 10px', alignItems: 'baseline' }}>
            <Box component="span" sx={{ fontWeight: 600 }}>{step.text}</Box>
            {isSafetyCheck(step) ? <Box component="span" sx={{ fontSize: '0.85rem' }}><SafetyMark word="safety check" /></Box> : null}
            <Box component="span" sx={{ color: palette.slate, fontSize: '0.88rem' }}>
              {stepKindWords[step.kind].toLowerCase()}
              {step.kind === 'measure' && (step.lower !== undefined || step.upper !== undefined) ? `, ${stepLimits(step).trim()}` : ''}
              {step.optional ? ', may be left out' : ''}
            </Box>
          </Box>
          {step.help ? <Box sx={{ color: palette.inkSoft, fontSize: '0.9rem' }}>{step.help}</Box> : null}
          {step.source ? <Box sx={{ color: palette.slate, fontSize: '0.85rem' }}>Source: {step.source}</Box> : null}
          {contested.length > 0 && standing ? (
            <Conflict standing={standing} contested={contested} order={order} onSettle={onSettle} />
          ) : standing ? (
            <Answer answer={standing} order={order} />
          ) : (
            <Box sx={{ color: palette.slate }}>not answered</Box>
          )}
          {earlier.length > 0 ? <Earlier answers={earlier} order={order} /> : null}
        </Box>
      </Box>
    </Box>
  );
}

/** One answer: outcome, value, remark, who, when by the server and by the device. */
function Answer({ answer, order, quiet = false }: { answer: WorkAnswerRow; order: WholeWorkOrder; quiet?: boolean }) {
  const { value } = answer;
  const photoIds = value.kind === 'photograph' ? value.photoIds : [];
  return (
    <Box sx={quiet ? { color: palette.inkSoft, fontSize: '0.92rem' } : {}}>
      <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: '0 10px', alignItems: 'center' }}>
        <OutcomeMark outcome={value.outcome} />
        <Box component="span" sx={{ fontWeight: 650 }}>{stepValueWords(value)}</Box>
      </Box>
      {value.remark ? <Box sx={{ whiteSpace: 'pre-wrap' }}>“{value.remark}”</Box> : null}
      <Box sx={{ color: palette.slate, fontSize: '0.86rem' }}>
        {answer.accountName ? `${answer.accountName}, ` : ''}
        {formatInstant(answer.deviceAt ?? answer.at, order.timeZone)}
        {answer.deviceAt === null ? '' : ` by the device, ${formatInstant(answer.at, order.timeZone)} by the server`}
        {answer.settlesId ? ', settles a contradiction' : ''}
      </Box>
      {value.kind === 'force-test' && !quiet ? <ForcePoints value={value} /> : null}
      <Thumbnails images={order.images.filter(({ id }) => photoIds.includes(id))} timeZone={order.timeZone} />
    </Box>
  );
}

function Conflict({ standing, contested, order, onSettle }: { standing: WorkAnswerRow; contested: readonly WorkAnswerRow[]; order: WholeWorkOrder; onSettle: StepProps['onSettle'] }) {
  const sheet = { border: `1px solid ${palette.line}`, borderRadius: '3px', padding: '6px 10px', background: palette.paper, minWidth: 0 };
  return (
    <Box role="group" aria-label="Answers that contradict each other" sx={{ marginTop: 0.6, background: palette.signalSoft, border: `1px solid ${palette.signal}`, borderRadius: '3px', padding: 1 }}>
      <Box sx={{ display: 'grid', gap: 1, gridTemplateColumns: { xs: 'minmax(0, 1fr)', sm: `repeat(${Math.min(2, contested.length + 1)}, minmax(0, 1fr))` } }}>
        <Box sx={sheet}>
          <Box sx={{ fontWeight: 700 }}>Counts so far</Box>
          <Answer answer={standing} order={order} />
        </Box>
        {contested.map((answer) => (
          <Box key={answer.id} sx={sheet}>
            <Box sx={{ fontWeight: 700 }}>Contradicts it</Box>
            <Answer answer={answer} order={order} />
            {onSettle ? (
              <Button size="small" variant="contained" sx={{ marginTop: 0.6 }} onClick={() => onSettle(answer)}>Settle…</Button>
            ) : null}
          </Box>
        ))}
      </Box>
    </Box>
  );
}

function Earlier({ answers, order }: { answers: readonly WorkAnswerRow[]; order: WholeWorkOrder }) {
  return (
    <Box component="details" sx={{ marginTop: 0.4 }}>
      <Box component="summary" sx={{ cursor: 'pointer', color: palette.ice, fontWeight: 600 }}>
        {answers.length} earlier {answers.length === 1 ? 'answer' : 'answers'}
      </Box>
      <Box sx={{ display: 'grid', gap: 0.8, paddingLeft: 1, marginTop: 0.4, borderLeft: `2px solid ${palette.line}` }}>
        {answers.map((answer) => (
          <Answer key={answer.id} answer={answer} order={order} quiet />
        ))}
      </Box>
    </Box>
  );
}
