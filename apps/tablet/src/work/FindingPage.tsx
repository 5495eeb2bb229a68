import type { FindingSeverity } from '@lintel/engine';
import { severityMeanings, SeverityMark } from '@lintel/ui';
import { useState } from 'react';
import { useLocation, useSearchParams } from 'wouter';
import { useRecord } from '../keep/device.js';
import { draftKey, useDraft } from '../keep/drafts.js';
import { newId } from '../keep/newId.js';
import type { OrderView } from '../keep/read.js';
import { Refusal } from '../shell/faces.js';
import { Layout } from '../shell/Layout.js';
import { Photos } from '../steps/PhotoInput.js';
import { answerOf, nextOpen } from './StepPage.js';
import { sentenceOf, WithOrder } from './useOrder.js';

const severities: readonly FindingSeverity[] = ['note', 'defect', 'unsafe'];

interface FindingDraft {
  severity: FindingSeverity | null;
  text: string;
  photoIds: string[];
}

export function FindingPage({ id }: { id: string }) {
  const [search] = useSearchParams();
  const stepId = search.get('step') || null;
  const { draft, keep } = useDraft<FindingDraft>(draftKey(id, `finding:${stepId ?? ''}`));
  if (draft === undefined) return null;
  return <WithOrder id={id}>{(view) => <Report view={view} stepId={stepId} begun={draft} keep={keep} />}</WithOrder>;
}

function Report({ view, stepId, begun, keep }: {
  view: OrderView; stepId: string | null; begun: FindingDraft | null; keep: (draft: FindingDraft) => Promise<void>;
}) {
  const { order } = view;
  const index = order.steps.findIndex(({ id }) => id === stepId);
  const failed = stepId !== null && answerOf(view, stepId)?.value.outcome === 'failed';
  const [entered, setEntered] = useState<FindingDraft>(() => begun ?? { severity: null, text: '', photoIds: [] });
  const [said, setSaid] = useState<string | null>(null);
  const record = useRecord();
  const [, go] = useLocation();
  const back = index >= 0 ? `/order/${order.id}/step/${index + 1}` : `/order/${order.id}`;

  async function set(change: Partial<FindingDraft>): Promise<void> {
    const next = { ...entered, ...change };
    setEntered(next);
    await keep(next);
  }

  async function report(): Promise<void> {
    const { severity, text, photoIds } = entered;
    if (severity === null) return setSaid('Say first how bad it is.');
    const step = order.steps[index];
    const finding = {
      id: newId(), severity, text: text.trim(),
      ...(step && { stepId: step.id, ...('positionId' in step && { positionId: step.positionId }) }),
      ...(photoIds.length > 0 && { photoIds }),
    };
    try {
      const refusal = await record({ orderId: order.id, command: { command: 'report', finding }, draft: draftKey(order.id, `finding:${stepId ?? ''}`) });
      if (refusal) return setSaid(sentenceOf(refusal, view));
      const next = index >= 0 ? nextOpen(view, index + 1) : null;
      go(index < 0 ? `/order/${order.id}` : next === null ? `/order/${order.id}/review` : `/order/${order.id}/step/${next}`);
    } catch (error) {
      setSaid((error as Error).message);
    }
  }

  return (
    <Layout alone over={order.doorName} title="Report a finding" back={back}
      foot={<button type="button" className="button first" onClick={() => void report()}>{entered.severity === 'unsafe' ? 'Report: door out of service' : 'Report it'}</button>}>
      {failed ? <p className="warning">This safety check failed. The order is not completed without a defect or an unsafe finding at this step.</p> : null}
      {index >= 0 ? <p className="help">At step {index + 1}: {order.steps[index]?.text}</p> : null}
      <fieldset className="choice severities">
        <legend>How bad is it?</legend>
        {severities.map((severity) => (
          <button key={severity} type="button" className="button tall" aria-pressed={entered.severity === severity} onClick={() => void set({ severity })}>
            <SeverityMark severity={severity} />
            <small>{severityMeanings[severity]}</small>
          </button>
        ))}
      </fieldset>
      {entered.severity === 'unsafe' ? (
        <p className="warning" role="alert">The door goes out of service with this. Switch it off, lock it, bar both sides, and tell the people on site. It goes back only after a further order has tested it and passed.</p>
      ) : null}
      <label>What is wrong<textarea rows={4} value={entered.text} onChange={(event) => void set({ text: event.target.value })} /></label>
      <Photos orderId={order.id} stepId={stepId} photoIds={entered.photoIds} onChange={(photoIds) => set({ photoIds })} />
      <Refusal>{said}</Refusal>
    </Layout>
  );
}
