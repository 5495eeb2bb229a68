import { formatInstant } from '@lintel/ui';
import { useState } from 'react';
import { useLocation } from 'wouter';
import { useRecord } from '../keep/device.js';
import type { OrderView } from '../keep/read.js';
import { Choice } from '../shell/DevicePage.js';
import { Refusal } from '../shell/faces.js';
import { Layout } from '../shell/Layout.js';
import { typedCount } from '../steps/types.js';
import { sentenceOf, WithOrder } from './useOrder.js';

export const timeWords = { work: 'Work', travel: 'Travel', waiting: 'Waiting' } as const;
type Kind = keyof typeof timeWords;

export function TimePage({ id }: { id: string }) {
  return <WithOrder id={id}>{(view) => <Time view={view} />}</WithOrder>;
}

/** Minutes since the work began that are not recorded yet: a proposal. */
export function minutesOpen({ order }: Pick<OrderView, 'order'>, now: number): number {
  if (order.startedAt === null) return 0;
  const recorded = order.times.filter(({ kind }) => kind === 'work').reduce((sum, { minutes }) => sum + minutes, 0);
  return Math.max(0, Math.min(1440, Math.round((now - Date.parse(order.startedAt)) / 60_000) - recorded));
}

function Time({ view }: { view: OrderView }) {
  const { order } = view;
  const [kind, setKind] = useState<Kind>('work');
  const [minutes, setMinutes] = useState(() => String(minutesOpen(view, Date.now()) || order.minutes));
  const [said, setSaid] = useState<string | null>(null);
  const record = useRecord();
  const [, go] = useLocation();

  async function keep(): Promise<void> {
    const size = typedCount(minutes);
    if (!(size >= 1 && size <= 1440)) return setSaid('Minutes: a whole number from 1 to 1440.');
    const startedAt = new Date(Date.now() - size * 60_000).toISOString();
    try {
      const refusal = await record({ orderId: order.id, command: { command: 'record-time', kind, minutes: size, startedAt } });
      if (refusal) setSaid(sentenceOf(refusal, view));
      else go(`/order/${order.id}/review`);
    } catch (error) {
      setSaid((error as Error).message);
    }
  }

  const step = (by: number): void => setMinutes(String(Math.max(1, (typedCount(minutes) || 0) + by)));
  return (
    <Layout alone over={order.doorName} title="Time" back={`/order/${order.id}`}
      foot={<button type="button" className="button first" onClick={() => void keep()}>Keep it</button>}>
      <ul className="rows">
        {order.times.map(({ id, kind: of, minutes: taken, startedAt, accountName }) => (
          <li key={id} className="row"><strong>{timeWords[of]}, {taken} min</strong><span className="quiet">{accountName} {formatInstant(startedAt, order.timeZone)}</span></li>
        ))}
      </ul>
      <Choice legend="Kind" value={kind} options={timeWords} onChoose={setKind} />
      <div className="stepper">
        <button type="button" className="button" aria-label="15 minutes less" onClick={() => step(-15)}>− 15</button>
        <label>Minutes<input className="figure" inputMode="numeric" value={minutes} onChange={(event) => setMinutes(event.target.value)} /></label>
        <button type="button" className="button" aria-label="15 minutes more" onClick={() => step(15)}>+ 15</button>
      </div>
      <Refusal>{said}</Refusal>
    </Layout>
  );
}
