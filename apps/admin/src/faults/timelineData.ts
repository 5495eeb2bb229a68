import type { DoorFaults } from '@lintel/contract';

/** What the end of the line is called. */
export const nowWord = 'now';

export interface TimelinePoint {
  /** Lifetime cycles, or milliseconds where cycles are not known. */
  x: number;
  at: string;
  /** Faults so far; left out at a repair's own mark. */
  faults?: number;
  repairs?: number;
  what: string;
}

/** The faults of a door counted up over its cycles, or over time where those are not known, and its repairs among them. */
export function timelineOf({ faults, repairs, now }: DoorFaults): { unit: 'cycles' | 'time'; points: TimelinePoint[]; marks: TimelinePoint[] } {
  const unit = now.cycles !== null && faults.every(({ cycles }) => cycles !== null) ? 'cycles' : 'time';
  const place = ({ at, cycles }: { at: string; cycles: number | null }) => (unit === 'cycles' && cycles !== null ? cycles : Date.parse(at));
  const points = faults.map((fault, index) => ({ x: place(fault), at: fault.at, faults: index + 1, what: `${fault.code} ${fault.codeName}` }));
  // Recorded cycles may contradict each other: the picture goes by them, the count stays in order of time.
  points.sort((a, b) => a.x - b.x || a.faults - b.faults).forEach((point, index) => (point.faults = index + 1));
  const first = points[0]?.x ?? 0;
  const last = { x: Math.max(place(now), points.at(-1)?.x ?? 0), at: now.at, faults: points.length, what: nowWord };
  const marks = repairs
    .map((repair) => ({ x: unit === 'cycles' ? (repair.cycles ?? NaN) : Date.parse(repair.at), at: repair.at, what: `${repair.partName} changed` }))
    .filter(({ x }) => x >= first && x <= last.x)
    .map((mark) => ({ ...mark, repairs: points.filter(({ x }) => x <= mark.x).length }));
  return { unit, points: [...points, last], marks };
}
