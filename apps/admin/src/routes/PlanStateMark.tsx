import type { RoutePlanState } from '@lintel/contract';
import { Mark, palette } from '@lintel/ui';
import type { ReactNode } from 'react';
import { planStateWords } from './routeWords.js';

const line = { fill: 'none', stroke: 'currentColor', strokeWidth: 2 } as const;
const shapes: Record<RoutePlanState, { colour: string; shape: ReactNode }> = {
  waiting: { colour: palette.slate, shape: <path d="M3 2h10M3 14h10M4 2c0 6 8 6 8 12M12 2c0 6-8 6-8 12" {...line} strokeWidth={1.6} /> },
  solving: { colour: palette.ice, shape: <path d="M3 1.5 14 8 3 14.5Z" fill="currentColor" /> },
  draft: { colour: palette.dusk, shape: <rect x={2} y={2} width={12} height={12} {...line} strokeDasharray="3 2" /> },
  accepted: { colour: palette.ice, shape: <path d="M2.5 8.6 6.4 12.4 13.6 4" {...line} strokeWidth={2.4} /> },
  published: { colour: palette.ink, shape: <path d="M2 14V2h9l3 3v9ZM5 8h6M5 11h6" {...line} strokeWidth={1.6} /> },
  superseded: { colour: palette.slate, shape: <path d="M2 5h9l-3-3M14 11H5l3 3" {...line} strokeWidth={1.8} /> },
  discarded: { colour: palette.slate, shape: <path d="M3 3 13 13M13 3 3 13" {...line} /> },
  failed: { colour: palette.signal, shape: <path d="M8 1 15.4 14.6H0.6ZM8 5.6v4.4M8 11.4v1.6" {...line} strokeWidth={1.8} /> },
};

/** State of a route plan: shape, word and colour. */
export function PlanStateMark({ state }: { state: RoutePlanState }) {
  const { colour, shape } = shapes[state];
  return <Mark shape={shape} word={planStateWords[state]} colour={colour} strong={state === 'failed'} />;
}
