import { isSafetyCheck, type StepAnswer, type StepValue } from '@lintel/engine';
import { formatInstant, OutcomeMark, stepValueWords } from '@lintel/ui';
import { useState } from 'react';
import { Link, useLocation } from 'wouter';
import { useDevice, useRecord } from '../keep/device.js';
import type { OrderView } from '../keep/read.js';
import { Refusal } from '../shell/faces.js';
import { Layout } from '../shell/Layout.js';
import { sentenceOf, WithOrder } from './useOrder.js';

export function ConflictPage({ id, answerId }: { id: string; answerId: string }) {
  return <WithOrder id={id}>{(view) => <Conflict view={view} answerId={answerId} />}</WithOrder>;
}

type Answer = OrderView['order']['answers'][number];

/** A value as the answer that gives it once more; null where it has to be measured anew. */
export function answerAgain(value: StepValue): StepAnswer | null {
  switch (value.kind) {
    case 'test-device':
      return { kind: 'test-device', passed: value.outcome === 'passed' };
    case 'force-test': {
      const { readings, gauge, usedOn, instrumentId } = value;
      return readings ? { kind: 'force-test', readings, gauge, usedOn, ...(instrumentId !== undefined && { instrumentId }) } : null;
    }
    default: {
      const { outcome: _outcome, remark: _remark, ...rest } = value;
      return rest;
    }
  }
}

/** Two answers of one step beside each other: who, when, what. A person says which one counts; nothing is decided by a clock. */
function Conflict({ view, answerId }: { view: OrderView; answerId: string }) {
  const { order } = view;
  const { account } = useDevice();
  const [remark, setRemark] = useState('');
  const [said, setSaid] = useState<string | null>(null);
  const record = useRecord();
  const [, go] = useLocation();
  const conflict = order.conflicts.find(({ contestedId }) => contestedId === answerId);
  const step = order.steps.find(({ id }) => id === conflict?.stepId);
  const standing = order.answers.find(({ id }) => id === conflict?.standingId);
  const contested = order.answers.find(({ id }) => id === conflict?.contestedId);
  if (!conflict || !step || !standing || !contested) return <Layout title="Contradiction" back="/needs"><p>It has been settled.</p></Layout>;

  async function keep({ value }: Answer): Promise<void> {
    const again = answerAgain(value);
    const words = remark.trim();
    if (!again) return setSaid('This one has to be measured again.');
    if (isSafetyCheck(step!) && words === '') return setSaid('Of a safety check: say in the remark why this one counts.');
    const answer = words === '' ? again : { ...again, remark: words };
    const command = { command: 'answer' as const, stepId: step!.id, answer, settlesId: contested!.id, baseId: standing!.id };
    try {
      const refusal = await record({ orderId: order.id, command: command as Parameters<typeof record>[0]['command'] });
      if (refusal) setSaid(sentenceOf(refusal, view));
      else go('/needs');
    } catch (error) {
      setSaid((error as Error).message);
    }
  }

  const mine = contested.accountId === account.id ? contested : standing.accountId === account.id ? standing : null;
  const at = order.steps.indexOf(step) + 1;
  return (
    <Layout alone over={order.doorName} title="Contradicting answers" back="/needs"
      foot={<Link href={`/order/${order.id}/step/${at}?settles=${contested.id}`} className="button">Do the step again</Link>}>
      <p className="step-text">{step.text}</p>
      <div className="side-by-side">
        {[standing, contested].map((answer) => (
          <section key={answer.id} className="card" aria-label={answer === mine ? 'Yours' : 'The other one'}>
            <h2>{answer === mine ? 'Yours' : (answer.accountName ?? 'Somebody else')}</h2>
            <p className="figure">{stepValueWords(answer.value)}</p>
            <OutcomeMark outcome={answer.value.outcome} />
            {answer.value.remark ? <p>“{answer.value.remark}”</p> : null}
            <p className="quiet">{answer.deviceAt ? `entered ${formatInstant(answer.deviceAt, order.timeZone)}, ` : ''}received {formatInstant(answer.at, order.timeZone)}</p>
            <button type="button" className="button first" onClick={() => void keep(answer)}>This one counts</button>
          </section>
        ))}
      </div>
      <label>Remark<textarea rows={3} value={remark} onChange={(event) => setRemark(event.target.value)} /></label>
      <Refusal>{said}</Refusal>
    </Layout>
  );
}
