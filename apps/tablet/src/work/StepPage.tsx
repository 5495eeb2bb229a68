import { isSafetyCheck, type StepAnswer, type WorkRefusal, type WorkStep } from '@lintel/engine';
import { formatInstant, OutcomeMark, SafetyMark, stepKindWords, stepValueWords } from '@lintel/ui';
import { memo, useState } from 'react';
import { Link, useLocation, useSearch } from 'wouter';
import { useRecord } from '../keep/device.js';
import { draftKey } from '../keep/drafts.js';
import type { OrderView } from '../keep/read.js';
import { Refusal } from '../shell/faces.js';
import { Layout } from '../shell/Layout.js';
import { chosenUnits } from '../shell/theme.js';
import { StepInput } from '../steps/StepInput.js';
import { sentenceOf, WithOrder } from './useOrder.js';

export function StepPage({ id, at }: { id: string; at: number }) {
  return <WithOrder id={id}>{(view) => <StepFrame view={view} at={at} />}</WithOrder>;
}

/** What stays from step to step: only the step itself is made anew, so that the next one stands within a frame on a slow tablet. */
function StepFrame({ view, at }: { view: OrderView; at: number }) {
  const { order } = view;
  const step = order.steps[at - 1];
  if (!step) return <Layout title="Order" back={`/order/${order.id}`}><p>This order has no step {at}.</p></Layout>;
  const title = `Step ${at} of ${order.steps.length}`;
  return (
    <Layout alone over={`${order.doorName} · ${order.title}`} title={title} back={`/order/${order.id}`}
      foot={<Foot orderId={order.id} stepId={step.id} at={at} steps={order.steps.length} />}>
      <progress className="steps-done" max={order.steps.length} value={at} aria-label={title} />
      <Step key={step.id} view={view} step={step} at={at} />
    </Layout>
  );
}

const isCaution = (step: WorkStep): boolean => step.kind === 'confirm' && step.caution === true;

/** The answer of a step that counts. */
export function answerOf({ order }: Pick<OrderView, 'order'>, stepId: string) {
  return order.answers.findLast((answer) => answer.counts && answer.stepId === stepId);
}

/** The next step without an answer, from a place on and then from the start; null: all of them have one. */
export function nextOpen({ order }: Pick<OrderView, 'order'>, from: number): number | null {
  const open = (step: WorkStep): boolean => !order.answers.some(({ stepId, counts }) => counts && stepId === step.id);
  const after = order.steps.findIndex((step, index) => index >= from && open(step));
  if (after >= 0) return after + 1;
  const before = order.steps.findIndex((step) => open(step) && !step.optional);
  return before >= 0 ? before + 1 : null;
}

function Step({ view, step, at }: { view: OrderView; step: WorkStep; at: number }) {
  const { order } = view;
  const [said, setSaid] = useState<string | null>(null);
  const [remark, setRemark] = useState<string | null>(null);
  const search = new URLSearchParams(useSearch());
  const record = useRecord();
  const [, go] = useLocation();
  const settles = search.get('settles');
  const key = draftKey(order.id, step.id);

  async function answer(given: StepAnswer): Promise<void> {
    const words = remark?.trim() ?? '';
    const settlesId = settles === null ? {} : { settlesId: settles };
    const command = { command: 'answer' as const, stepId: step.id, answer: words === '' ? given : { ...given, remark: words }, ...settlesId };
    try {
      const refusal = await record({ orderId: order.id, command: command as Parameters<typeof record>[0]['command'], draft: key });
      if (refusal) explain(refusal);
      else onward(given);
    } catch (error) {
      setSaid((error as Error).message);
    }
  }

  function explain(refusal: WorkRefusal): void {
    if (refusal.refused === 'remark-needed') setRemark(remark ?? '');
    setSaid(sentenceOf(refusal, view));
  }

  /** A failed safety check leads to the finding that it needs; anything else to the next step. */
  function onward(given: StepAnswer): void {
    const failed = (given.kind === 'test-device' && !given.passed) || (given.kind === 'confirm' && !given.confirmed);
    if (failed && isSafetyCheck(step)) return go(`/order/${order.id}/finding?step=${encodeURIComponent(step.id)}`);
    const next = nextOpen(withAnswer(view, step.id), at);
    go(next === null ? `/order/${order.id}/review` : `/order/${order.id}/step/${next}`);
  }

  const value = answerOf(view, step.id);
  const editable = order.state === 'started';
  return (
    <>
      <p className="step-kind">
        {isCaution(step) ? <strong className="signal">Caution: before any other step</strong> : <span>{stepKindWords[step.kind]}{step.optional ? ', if it applies' : ''}</span>}
        {isSafetyCheck(step) ? <SafetyMark word="safety check" /> : null}
      </p>
      <p className={isCaution(step) ? 'step-text caution' : 'step-text'}>{step.text}</p>
      {step.help === undefined ? null : <p className="help"><b>Passes if:</b> {step.help}</p>}
      {step.source === undefined ? null : <p className="hint">{step.source}; the maker’s manual and local rules come first.</p>}
      {value ? <Before value={value} unsent={view.unsent.has(value.id)} timeZone={order.timeZone} /> : null}
      {settles === null ? null : <p className="note">This answer settles a contradiction. Say in the remark why it counts.</p>}
      {editable ? (
        <>
          <StepInput view={view} step={step} value={value?.value as never} units={chosenUnits() ?? view.door?.site.units ?? 'metric'} draftKey={key} onAnswer={answer} />
          <Remark remark={remark} onRemark={setRemark} />
        </>
      ) : <p className="note">This order is not under way: its answers can be read, not changed.</p>}
      <Refusal>{said}</Refusal>
    </>
  );
}

function withAnswer(view: OrderView, stepId: string): Pick<OrderView, 'order'> {
  const answers = [...view.order.answers, { stepId, counts: true } as OrderView['order']['answers'][number]];
  return { order: { ...view.order, answers } };
}

type Answer = NonNullable<ReturnType<typeof answerOf>>;

function Before({ value, unsent, timeZone }: { value: Answer; unsent: boolean; timeZone: string }) {
  return (
    <p className="before">
      <span>Now: <b>{stepValueWords(value.value)}</b></span> <OutcomeMark outcome={value.value.outcome} />
      <span className="quiet">{value.accountName ?? ''} {formatInstant(value.deviceAt ?? value.at, timeZone)}{unsent ? ' · not sent yet' : ''}</span>
      {value.value.remark ? <span>“{value.value.remark}”</span> : null}
    </p>
  );
}

function Remark({ remark, onRemark }: { remark: string | null; onRemark: (remark: string) => void }) {
  if (remark === null) return <button type="button" className="button plain" onClick={() => onRemark('')}>Add a remark</button>;
  return <label className="remark">Remark<textarea rows={3} value={remark} onChange={(event) => onRemark(event.target.value)} /></label>;
}

const Foot = memo(function Foot({ orderId, stepId, at, steps }: { orderId: string; stepId: string; at: number; steps: number }) {
  const base = `/order/${orderId}`;
  return (
    <>
      {at > 1 ? <Link href={`${base}/step/${at - 1}`} className="button">Step before</Link> : null}
      <Link href={`${base}/finding?step=${encodeURIComponent(stepId)}`} className="button">Report a finding</Link>
      <Link href={at < steps ? `${base}/step/${at + 1}` : `${base}/review`} className="button">{at < steps ? 'Step after' : 'Review'}</Link>
    </>
  );
});
