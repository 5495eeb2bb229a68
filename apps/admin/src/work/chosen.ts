import type { WorkOrderRow } from '@lintel/contract';
import { createContext, useContext, useState } from 'react';

/** The orders that the reader ticked on the board or in the week, whole, so that a deed can say what became of each. */
export interface Chosen {
  /** Whether this reader may do anything with them. */
  may: boolean;
  ids: ReadonlySet<string>;
  orders: readonly WorkOrderRow[];
  toggle: (order: WorkOrderRow) => void;
  clear: () => void;
}

const nothing: Chosen = { may: false, ids: new Set(), orders: [], toggle: () => undefined, clear: () => undefined };

export const ChosenContext = createContext<Chosen>(nothing);
export const useChosen = (): Chosen => useContext(ChosenContext);

export function useChoosing(may: boolean): Chosen {
  const [orders, setOrders] = useState<readonly WorkOrderRow[]>([]);
  return {
    may,
    ids: new Set(orders.map(({ id }) => id)),
    orders,
    toggle: (order) => setOrders((before) => (before.some(({ id }) => id === order.id) ? before.filter(({ id }) => id !== order.id) : [...before, order])),
    clear: () => setOrders([]),
  };
}
