import { cautionRank, formatDate, formatInstant, OutcomeMark, SafetyMark, SeverityMark, StateMark, workKindWords, WorkStateMark } from '@lintel/ui';
import { useState } from 'react';
import { Link, useLocation } from 'wouter';
import { useRecord } from '../keep/device.js';
import type { OrderView } from '../keep/read.js';
import { partWords } from '../fleet/partWords.js';
import { Refusal } from '../shell/faces.js';
import { Layout } from '../shell/Layout.js';
import { answerOf, nextOpen } from './StepPage.js';
import { sentenceOf, WithOrder } from './useOrder.js';
import { answered } from './VisitsPage.js';

export function OrderPage({ id }: { id: string }) {
  return <WithOrder id={id}>{(view) => <Order view={view} />}</WithOrder>;
}

function Order({ view }: { view: OrderView }) {
  const { order, door } = view;
  return (
    <Layout over={order.siteName} title={`${order.doorName}: ${order.title}`} back="/" foot={<Deeds view={view} />}>
      {view.gone ? <p className="note">This order is no longer yours. What you did at it is kept here until it has found its place.</p> : null}
      <section className="card facts">
        <p className="marks">
          {order.kind === 'inspection' || order.kind === 'commissioning' ? <SafetyMark word={workKindWords[order.kind]} /> : <span>{workKindWords[order.kind]}</span>}
          <WorkStateMark state={order.state} />
          {order.passed === null ? null : <OutcomeMark outcome={order.passed ? 'passed' : 'failed'} word={order.passed ? 'passed' : 'not passed'} />}
          {door ? <StateMark state={view.openUnsafe.length > 0 ? 'out-of-service' : door.door.state} /> : null}
        </p>
        <dl>
          <dt>Order</dt><dd>No. {order.number}, {order.minutes} min{order.plannedOn ? `, ${formatDate(order.plannedOn)}` : ''}{order.plannedStart ? `, ${formatInstant(order.plannedStart, order.timeZone)}` : ''}</dd>
          <dt>Technician</dt><dd>{order.technicianName ?? 'nobody’s yet: who begins takes it'}</dd>
          {door?.site.address ? <><dt>Address</dt><dd>{door.site.address}</dd></> : null}
          {order.parts.length > 0 ? <><dt>Parts to bring</dt><dd>{order.parts.map(partWords).join(', ')}</dd></> : null}
          {order.skills.length > 0 ? <><dt>Skills</dt><dd>{order.skills.join(', ')}</dd></> : null}
        </dl>
        {order.instructions ? <p className="instructions">{order.instructions}</p> : null}
        <p><Link href={`/door/${order.doorId}`} className="button">The door and its history</Link></p>
      </section>
      <Cautions view={view} />
      <OpenFindings view={view} />
      <Conflicts view={view} />
      <Steps view={view} />
      {view.manuals.length > 0 ? (
        <section className="card"><h2>Manuals on this device</h2>
          <ul className="rows">{view.manuals.map(({ id, title }) => <li key={id}><Link href={`/manual/${id}`} className="row"><strong>{title}</strong></Link></li>)}</ul>
        </section>
      ) : null}
    </Layout>
  );
}

/** The order's own cautions, shown before anything can be begun. */
function Cautions({ view: { order } }: { view: OrderView }) {
  const cautions = order.steps.filter((step) => step.kind === 'confirm' && step.caution);
  return (
    <section className="card cautions" aria-label="Before work at the door">
      <h2>Before work at the door</h2>
      <ol>{cautions.map(({ id, text }) => <li key={id}>{text}</li>)}</ol>
      {cautions.some(({ text }) => /local codes/i.test(text)) ? null : <p>{cautionRank}</p>}
    </section>
  );
}

function OpenFindings({ view: { order, door } }: { view: OrderView }) {
  const all = [...order.findings, ...(door?.findings ?? [])].filter(({ open }) => open);
  const findings = [...new Map(all.map((finding) => [finding.id, finding])).values()];
  if (findings.length === 0) return null;
  return (
    <section className="card">
      <h2>Open findings at this door</h2>
      <ul className="rows">
        {findings.map(({ id, severity, text, foundAt }) => (
          <li key={id} className="row"><span className="row-main"><span>{text}</span><span className="quiet">{formatInstant(foundAt, order.timeZone)}</span></span><SeverityMark severity={severity} /></li>
        ))}
      </ul>
    </section>
  );
}

function Conflicts({ view: { order } }: { view: OrderView }) {
  if (order.conflicts.length === 0) return null;
  return (
    <section className="card urgent">
      <h2>Contradicting answers</h2>
      <ul className="rows">
        {order.conflicts.map(({ stepId, contestedId }) => (
          <li key={contestedId}><Link href={`/order/${order.id}/conflict/${contestedId}`} className="row"><strong>{order.steps.find(({ id }) => id === stepId)?.text ?? stepId}</strong><span>Settle it</span></Link></li>
        ))}
      </ul>
    </section>
  );
}

function Steps({ view }: { view: OrderView }) {
  const { order } = view;
  if (order.state === 'released' || order.steps.length === 0) return null;
  return (
    <section className="card">
      <h2>Steps: {answered(order)} of {order.steps.length} answered</h2>
      <ol className="rows">
        {order.steps.map((step, index) => {
          const value = answerOf(view, step.id);
          return (
            <li key={step.id}>
              <Link href={`/order/${order.id}/step/${index + 1}`} className="row">
                <span className="row-main"><span>{index + 1}. {step.text}</span></span>
                <span className="row-marks">{value ? <OutcomeMark outcome={value.value.outcome} /> : <span className="quiet">{step.optional ? 'if it applies' : 'open'}</span>}</span>
              </Link>
            </li>
          );
        })}
      </ol>
    </section>
  );
}

function Deeds({ view }: { view: OrderView }) {
  const { order } = view;
  const record = useRecord();
  const [, go] = useLocation();
  const [said, setSaid] = useState<string | null>(null);
  const next = nextOpen(view, 0);

  async function begin(): Promise<void> {
    try {
      const refusal = await record({ orderId: order.id, command: { command: 'start' } });
      if (refusal) setSaid(sentenceOf(refusal, view));
      else go(`/order/${order.id}/step/1`);
    } catch (error) {
      setSaid((error as Error).message);
    }
  }

  if (order.state === 'released') {
    return <><Refusal>{said}</Refusal><button type="button" className="button first" onClick={() => void begin()}>Begin: cautions first</button></>;
  }
  if (order.state !== 'started') return <Link href={`/order/${order.id}/review`} className="button">What was done</Link>;
  return (
    <>
      <Link href={`/order/${order.id}/time`} className="button">Time</Link>
      <Link href={`/order/${order.id}/parts`} className="button">Parts used</Link>
      <Link href={`/order/${order.id}/finding`} className="button">Report a finding</Link>
      <Link href={next === null ? `/order/${order.id}/review` : `/order/${order.id}/step/${next}`} className="button first">{next === null ? 'Review and complete' : `Go on: step ${next}`}</Link>
    </>
  );
}
