import type { PlanVisit, RoutePlanDetail } from '@lintel/contract';
import { createContext, useContext } from 'react';
import type { Lane } from './lanes.js';
import type { Moving } from './useMoving.js';

/** What time line, map and panels of one plan share. */
export interface PlanView {
  plan: RoutePlanDetail;
  /** All of the plan. */
  lanes: readonly Lane[];
  /** Those that the reader looks at. */
  shown: readonly Lane[];
  visitOf: ReadonlyMap<string, PlanVisit>;
  chosenId: string | null;
  choose: (visitId: string | null) => void;
  /** Under the pointer or the focus, in the time line or on the map. */
  pointedId: string | null;
  point: (visitId: string | null) => void;
  /** Whether visits can be moved: rights and the plan's state. */
  mayMove: boolean;
  moving: Moving;
}

export const PlanViewContext = createContext<PlanView | null>(null);

export function usePlanView(): PlanView {
  const view = useContext(PlanViewContext);
  if (view === null) throw new Error('A part of a plan was drawn outside its page.');
  return view;
}

export const nameOfTechnician = ({ lanes }: Pick<PlanView, 'lanes'>, technicianId: string): string =>
  lanes.find(({ route }) => route.technicianId === technicianId)?.route.technicianName ?? 'a technician';
