import { applyWorkCommand } from '@lintel/engine';
import { formatInstant, OutcomeMark, SeverityMark, stepValueWords, WorkStateMark } from '@lintel/ui';
import { useState } from 'react';
import { Link } from 'wouter';
import { partWords } from '../fleet/partWords.js';
import { engineOrder } from '../keep/applyCommand.js';
import { useRecord } from '../keep/device.js';
import { captured } from '../keep/images.js';
import type { OrderView } from '../keep/read.js';
import { Refusal } from '../shell/faces.js';
import { Layout } from '../shell/Layout.js';
import { Thumbnail } from '../steps/PhotoInput.js';
import { Signature } from './SignaturePad.js';
import { answerOf } from './StepPage.js';
import { timeWords } from './TimePage.js';
import { sentenceOf, WithOrder } from './useOrder.js';

export function ReviewPage({ id }: { id: string }) {
  return <WithOrder id={id}>{(view) => <Review view={view} />}</WithOrder>;
}

/** Everything that was done at an order, then the signature and its end. */
function Review({ view }: { view: OrderView }) {
  const { order } = view;
  return (
    <Layout over={`${order.siteName} · ${order.doorName}`} title="Review" back={`/order/${order.id}`}>
      <p className="marks"><WorkStateMark state={order.state} />{order.passed === null ? null : <OutcomeMark outcome={order.passed ? 'passed' : 'failed'} word={order.passed ? 'passed' : 'not passed'} />}
        {view.unsent.size > 0 ? <span className="quiet">not all of it sent yet</span> : null}</p>
      <Steps view={view} />
      <Findings view={view} />
      <section className="card">
        <h2>Time and parts</h2>
        <ul className="rows">
          {order.times.map(({ id, kind, minutes }) => <li key={id} className="row">{timeWords[kind]}, {minutes} min</li>)}
          {order.usedParts.map(({ id, kind, quantity, code }) => <li key={id} className="row">{quantity} × {partWords(kind)}{code ? `, ${code}` : ''}</li>)}
        </ul>
        {order.state === 'started' ? <p className="answers"><Link href={`/order/${order.id}/time`} className="button">Add time</Link><Link href={`/order/${order.id}/parts`} className="button">Add a part</Link></p> : null}
      </section>
      <Signing view={view} />
      {order.state === 'started' ? <Completing view={view} /> : null}
    </Layout>
  );
}

function Steps({ view }: { view: OrderView }) {
  const { order } = view;
  return (
    <section className="card">
      <h2>Steps</h2>
      <ol className="rows">
        {order.steps.map((step, index) => {
          const answer = answerOf(view, step.id);
          return (
            <li key={step.id}>
              <Link href={`/order/${order.id}/step/${index + 1}`} className="row">
                <span className="row-main"><span>{index + 1}. {step.text}</span>{answer ? <strong>{stepValueWords(answer.value)}</strong> : null}{answer?.value.remark ? <span>“{answer.value.remark}”</span> : null}</span>
                {answer ? <OutcomeMark outcome={answer.value.outcome} /> : <span className="quiet">{step.optional ? 'does not apply' : 'open'}</span>}
              </Link>
            </li>
          );
        })}
      </ol>
    </section>
  );
}

function Findings({ view: { order } }: { view: OrderView }) {
  if (order.findings.length === 0) return null;
  return (
    <section className="card">
      <h2>Findings</h2>
      <ul className="rows">{order.findings.map(({ id, text, severity }) => <li key={id} className="row"><span className="row-main">{text}</span><SeverityMark severity={severity} /></li>)}</ul>
    </section>
  );
}

function Signing({ view: { order } }: { view: OrderView }) {
  const record = useRecord();
  async function signed(blob: Blob, size: { width: number; height: number }, signerName: string): Promise<void> {
    const image = captured({ orderId: order.id, stepId: null, kind: 'signature', mediaType: 'image/png', blob, ...size });
    const refusal = await record({ orderId: order.id, command: { command: 'sign', imageId: image.id, signerName }, image });
    if (refusal) throw new Error('A signature is taken while the order is under way.');
  }
  return (
    <section className="card">
      <h2>Signature</h2>
      <ul className="rows">
        {order.signatures.map(({ id, imageId, signerName, deviceAt, at }) => (
          <li key={id} className="row"><span className="row-main"><strong>{signerName}</strong><span className="quiet">{formatInstant(deviceAt ?? at, order.timeZone)}</span></span><Thumbnail id={imageId} label={`Signature of ${signerName}`} /></li>
        ))}
      </ul>
      {order.state === 'started' ? <Signature key={order.signatures.length} onSigned={signed} /> : null}
    </section>
  );
}

/** The end of the order, by the rules: what stands in its way is said before anybody tries. */
function Completing({ view }: { view: OrderView }) {
  const { order } = view;
  const [said, setSaid] = useState<string | null>(null);
  const record = useRecord();
  const tried = (passed: boolean) => applyWorkCommand(engineOrder(order), { command: 'complete', passed, openUnsafe: view.openUnsafe });
  const asPassed = tried(true);
  const asFailed = tried(false);
  async function complete(passed: boolean): Promise<void> {
    try {
      const refusal = await record({ orderId: order.id, command: { command: 'complete', passed } });
      setSaid(refusal ? sentenceOf(refusal, view) : null);
    } catch (error) {
      setSaid((error as Error).message);
    }
  }
  return (
    <section className="card">
      <h2>Complete</h2>
      {'refused' in asPassed ? <p className="note">Not as passed: {sentenceOf(asPassed, view)}</p> : null}
      {'refused' in asFailed ? <p className="note">Not as failed: {sentenceOf(asFailed, view)}</p> : null}
      {order.signatures.length === 0 ? <p className="hint">Nobody has signed yet. After completion nothing can be added.</p> : null}
      <div className="answers">
        <button type="button" className="button first huge" disabled={'refused' in asPassed} onClick={() => void complete(true)}>Complete: passed</button>
        <button type="button" className="button huge failing" disabled={'refused' in asFailed} onClick={() => void complete(false)}>Complete: not passed</button>
      </div>
      <Refusal>{said}</Refusal>
    </section>
  );
}
