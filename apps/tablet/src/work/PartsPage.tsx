import type { PartKind } from '@lintel/contract';
import { useState } from 'react';
import { useLocation } from 'wouter';
import { partWords } from '../fleet/partWords.js';
import { ScanField } from '../fleet/ScanField.js';
import { useKept, useRecord } from '../keep/device.js';
import { readStock, type OrderView } from '../keep/read.js';
import { Refusal } from '../shell/faces.js';
import { Layout } from '../shell/Layout.js';
import { typedCount } from '../steps/types.js';
import { sentenceOf, WithOrder } from './useOrder.js';

export function PartsPage({ id }: { id: string }) {
  return <WithOrder id={id}>{(view) => <Parts view={view} />}</WithOrder>;
}

/** Kinds that this door or this order has to do with: the others would only be in the way. */
function kindsOf({ order, door }: OrderView): PartKind[] {
  return [...new Set([...order.parts, ...(door?.positions.map(({ kind }) => kind) ?? [])])];
}

function Parts({ view }: { view: OrderView }) {
  const { order } = view;
  const kinds = kindsOf(view);
  const [kind, setKind] = useState<PartKind | ''>(kinds.length === 1 ? kinds[0]! : '');
  const [code, setCode] = useState('');
  const [name, setName] = useState('');
  const [quantity, setQuantity] = useState('1');
  const [said, setSaid] = useState<string | null>(null);
  const record = useRecord();
  const { kept: stock } = useKept(readStock);

  /** A code that the company knows says the kind and the name itself. */
  function coded(given: string): void {
    setCode(given);
    const known = stock?.find((one) => one.code.toLowerCase() === given.trim().toLowerCase());
    if (!known) return;
    setKind(known.kind);
    setName(known.name);
  }

  const [, go] = useLocation();

  async function keep(): Promise<void> {
    const size = typedCount(quantity);
    if (kind === '') return setSaid('Say first what kind of part it is.');
    if (!(size >= 1 && size <= 1000)) return setSaid('Quantity: a whole number from 1 to 1000.');
    const words = { ...(code.trim() !== '' && { code: code.trim() }), ...(name.trim() !== '' && { name: name.trim() }) };
    try {
      const refusal = await record({ orderId: order.id, command: { command: 'use-part', kind, quantity: size, ...words } });
      if (refusal) setSaid(sentenceOf(refusal, view));
      else go(`/order/${order.id}/review`);
    } catch (error) {
      setSaid((error as Error).message);
    }
  }

  return (
    <Layout alone over={order.doorName} title="Parts used" back={`/order/${order.id}`}
      foot={<button type="button" className="button first" onClick={() => void keep()}>Keep it</button>}>
      <ul className="rows">
        {order.usedParts.map((part) => <li key={part.id} className="row"><strong>{part.quantity} × {partWords(part.kind)}</strong><span className="quiet">{[part.name, part.code].filter(Boolean).join(', ')}</span></li>)}
      </ul>
      <label>Kind
        <select value={kind} onChange={(event) => setKind(event.target.value as PartKind)}>
          <option value="">Choose…</option>
          {(kind === '' || kinds.includes(kind) ? kinds : [...kinds, kind]).map((one) => <option key={one} value={one}>{partWords(one)}</option>)}
        </select>
      </label>
      <ScanField label="Code on the part or its box" value={code} onChange={coded} />
      <label>Name, if it helps<input value={name} onChange={(event) => setName(event.target.value)} /></label>
      <label>Quantity<input className="figure" inputMode="numeric" value={quantity} onChange={(event) => setQuantity(event.target.value)} /></label>
      <p className="hint">A part with a place of its own on the door is recorded at its step, with its serial, not here.</p>
      <Refusal>{said}</Refusal>
    </Layout>
  );
}
