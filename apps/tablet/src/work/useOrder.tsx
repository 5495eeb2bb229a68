import { refusalSentence, type RefusalNames } from '@lintel/ui';
import type { WorkRefusal } from '@lintel/engine';
import { type ReactNode, useCallback } from 'react';
import type { Refused } from '../keep/database.js';
import type { Database } from '../keep/database.js';
import { useKept } from '../keep/device.js';
import { type OrderView, readOrder } from '../keep/read.js';
import { Layout } from '../shell/Layout.js';

/** An order from the device; while it is read, nothing; where there is none, a page that says so. */
export function WithOrder({ id, children }: { id: string; children: (view: OrderView) => ReactNode }) {
  const load = useCallback((database: Database) => readOrder(database, id), [id]);
  const { kept, ready } = useKept(load);
  if (!ready) return null;
  if (!kept) {
    return (
      <Layout title="Order" back="/">
        <p>This order is not on this device. It is another technician’s, or lies further ahead than the days that are kept here.</p>
      </Layout>
    );
  }
  return children(kept);
}

/** How an order's steps, positions and findings are called. */
export function namesIn({ order, door }: OrderView): RefusalNames {
  return {
    step: (id) => order.steps.find((step) => step.id === id)?.text,
    position: (id) => door?.positions.find((position) => position.id === id)?.name,
    finding: (id) => [...order.findings, ...(door?.findings ?? [])].find((finding) => finding.id === id)?.text,
  };
}

/** Why something was refused here, as a sentence. */
export function sentenceOf(refusal: WorkRefusal, view: OrderView): string {
  return refusalSentence(refusal.refused, refusal.facts, namesIn(view));
}

const own: Record<string, string> = {
  'not-accepted': 'The server could not read this entry',
  'image-not-accepted': 'The server did not take an image that belongs to this entry',
};

/** Why the server refused something, as a sentence. */
export function refusedSentence({ code, facts }: Refused, names: RefusalNames = {}): string {
  const known = own[code];
  return known ? `${known}: ${String(facts['detail'] ?? 'it did not say why')}` : refusalSentence(code, facts as WorkRefusal['facts'], names);
}
