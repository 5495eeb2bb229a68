import type { WorkOrderResults, WorkOrderRow } from '@lintel/contract';
import { Button } from '@mui/material';
import { useState } from 'react';
import { useNotify, useRefresh } from 'react-admin';
import { refusalOf } from '../access/http.js';
import { useApi } from '../access/hooks.js';
import { AssignDialog } from './AssignDialog.js';
import { ResultsDialog } from './ResultsDialog.js';
import type { DeedResult } from './ResultsDialog.js';
import { orderLink, orderNumber } from './orderWords.js';

interface OrderDeedsProps {
  orders: readonly WorkOrderRow[];
  /** Forgets the choice, once it was done. */
  clear: () => void;
}

/** What can be done with many orders at once; what became of each is shown. */
export function OrderDeeds({ orders, clear }: OrderDeedsProps) {
  const api = useApi();
  const notify = useNotify();
  const refresh = useRefresh();
  const [busy, setBusy] = useState(false);
  const [assigning, setAssigning] = useState(false);
  const [results, setResults] = useState<{ title: string; done: string; lines: DeedResult[] } | null>(null);
  const release = async () => {
    setBusy(true);
    try {
      const answer = await api.send<WorkOrderResults>('POST', '/work-orders/release', { ids: orders.map(({ id }) => id) });
      setResults({ title: 'Release', done: 'released', lines: orders.map((order, index) => ({ ...nameOf(order), refusal: answer.results[index]?.refusal ?? null })) });
    } catch (error) {
      notify(refusalOf(error).detail, { type: 'error' });
    } finally {
      setBusy(false);
    }
    refresh();
  };
  const close = () => {
    setResults(null);
    clear();
  };
  return (
    <>
      <Button size="small" variant="contained" disabled={busy} onClick={() => void release()}>
        {busy ? 'Releasing…' : 'Release'}
      </Button>
      <Button size="small" variant="outlined" onClick={() => setAssigning(true)}>
        Assign…
      </Button>
      {assigning ? (
        <AssignDialog
          orders={orders}
          onClose={() => setAssigning(false)}
          onDone={(lines) => {
            setAssigning(false);
            setResults({ title: 'Assign', done: 'assigned', lines: lines.map((line) => ({ ...line, ...nameOf(line.order) })) });
            refresh();
          }}
        />
      ) : null}
      {results ? <ResultsDialog {...results} onClose={close} /> : null}
    </>
  );
}

const nameOf = (order: WorkOrderRow) => ({ id: order.id, name: `${orderNumber(order)}, ${order.title}, ${order.doorName}`, link: orderLink(order.id) });
