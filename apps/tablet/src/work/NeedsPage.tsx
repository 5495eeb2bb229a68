import type { TechnicianCommand } from '@lintel/contract';
import { count, formatInstant } from '@lintel/ui';
import { Link } from 'wouter';
import { changed } from '../keep/changes.js';
import type { OutboxEntry } from '../keep/database.js';
import { useDevice, useKept } from '../keep/device.js';
import { settle } from '../keep/outbox.js';
import { readNeeds } from '../keep/read.js';
import { Empty } from '../shell/faces.js';
import { Layout } from '../shell/Layout.js';
import { refusedSentence } from './useOrder.js';

/** What a person has to look at: work that the server refused, and answers that contradict each other. Nothing here is lost. */
export function NeedsPage() {
  const { kept } = useKept(readNeeds);
  return (
    <Layout title="Needs you">
      {kept && kept.refused.length === 0 && kept.contested.length === 0 ? <Empty>Nothing needs you. What was refused, or contradicts what somebody else entered, would stand here.</Empty> : null}
      {kept && kept.contested.length > 0 ? (
        <section className="card urgent">
          <h2>Contradicting answers</h2>
          <ul className="rows">
            {kept.contested.map(({ order, stepText, answerId }) => (
              <li key={answerId}><Link href={`/order/${order.id}/conflict/${answerId}`} className="row"><span className="row-main"><strong>{stepText}</strong><span className="quiet">{order.doorName}: {order.title}</span></span><span>Settle it</span></Link></li>
            ))}
          </ul>
        </section>
      ) : null}
      {kept?.refused.map((entry) => <Refused key={entry.id} entry={entry} />)}
      {kept && kept.settled.length > 0 ? (
        <details className="card"><summary>Dealt with: {count(kept.settled.length, 'command')}, kept on this device</summary>
          <ul className="rows">{kept.settled.map((entry) => <li key={entry.id} className="row"><span className="row-main"><strong>{doneWords(entry.command)}</strong><span className="quiet">{entry.about}, {formatInstant(entry.madeAt)}</span></span></li>)}</ul>
        </details>
      ) : null}
    </Layout>
  );
}

function Refused({ entry }: { entry: OutboxEntry }) {
  const { database } = useDevice();
  const { command } = entry;
  return (
    <section className="card urgent">
      <h2>{entry.about}</h2>
      <p><strong>{doneWords(command)}</strong> <span className="quiet">{formatInstant(entry.madeAt)}</span></p>
      <p className="warning">The server did not take it: {entry.refusal ? refusedSentence(entry.refusal) : 'it did not say why'}</p>
      <p>It is kept here and on the server. Enter it again where it belongs, or tell the planner what you did.</p>
      <details><summary>What you entered</summary><pre>{JSON.stringify(command, null, 1)}</pre></details>
      <div className="answers">
        <Link href={`/order/${entry.orderId}`} className="button first">Open the order</Link>
        <button type="button" className="button" onClick={() => void settle(database, entry.seq!).then(changed)}>I have dealt with it</button>
      </div>
    </section>
  );
}

/** What somebody did, in a few words. */
export function doneWords(command: TechnicianCommand): string {
  switch (command.command) {
    case 'start': return 'Began the order';
    case 'answer': return 'Answered a step';
    case 'report': return `Reported a finding: ${command.finding.text}`;
    case 'complete': return `Completed the order as ${command.passed ? 'passed' : 'not passed'}`;
    case 'record-time': return `Recorded ${command.minutes} minutes`;
    case 'use-part': return `Used ${command.quantity} part${command.quantity === 1 ? '' : 's'}`;
    case 'sign': return `Signature of ${command.signerName}`;
  }
}
