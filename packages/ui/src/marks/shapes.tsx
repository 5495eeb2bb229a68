import { paint, paintOf, palette } from '../palette.js';
import type { ConditionWord, StateWord, VerdictWord } from './words.js';

/** Each shape is drawn in a box of 16 × 16 around the origin's (8, 8), so that marks line up in text and drawing alike. */

export const conditionColours: Record<ConditionWord, string> = {
  sound: palette.ice,
  wearing: palette.dusk,
  worn: palette.signal,
  unknown: palette.slateSoft,
};

/** Ring: sound. Half-filled diamond: wearing. Filled triangle with a bar: worn. Dashed ring with a dot: unknown. */
export function ConditionShape({ condition }: { condition: ConditionWord }) {
  const colour = paintOf(conditionColours[condition]);
  switch (condition) {
    case 'sound':
      return <circle cx={8} cy={8} r={5.2} fill={paint.paper} stroke={colour} strokeWidth={2.6} />;
    case 'wearing':
      return (
        <g>
          <path d="M8 1.2 14.8 8 8 14.8 1.2 8Z" fill={paint.paper} stroke={colour} strokeWidth={1.8} />
          <path d="M8 14.8 1.2 8 14.8 8Z" fill={colour} />
        </g>
      );
    case 'worn':
      return (
        <g>
          <path d="M8 1 15.4 14.6H0.6Z" fill={colour} />
          <path d="M8 5.6v4.4M8 11.4v1.6" stroke={paint.paper} strokeWidth={1.9} />
        </g>
      );
    case 'unknown':
      return (
        <g>
          <circle cx={8} cy={8} r={5.8} fill={paint.paper} stroke={colour} strokeWidth={1.8} strokeDasharray="2.6 2" />
          <circle cx={8} cy={8} r={1.5} fill={colour} />
        </g>
      );
  }
}

export const stateColours: Record<StateWord, string> = {
  'in-service': palette.ice,
  'out-of-service': palette.signal,
  decommissioned: palette.slateSoft,
};

/** A doorway seen from the front: open and clear, barred, or struck out of the list. */
export function StateShape({ state }: { state: StateWord }) {
  const colour = paintOf(stateColours[state]);
  switch (state) {
    case 'in-service':
      return <path d="M2.5 15V2.5h11V15M5.5 5.2h5" fill="none" stroke={colour} strokeWidth={2.2} />;
    case 'out-of-service':
      return (
        <g fill="none" stroke={colour} strokeWidth={2.4}>
          <path d="M1.4 1.4h13.2v13.2H1.4Z" fill={paint.signalSoft} />
          <path d="M3 13 13 3M3 3l10 10" />
        </g>
      );
    case 'decommissioned':
      return (
        <g fill="none" stroke={colour} strokeWidth={1.8} strokeDasharray="2.4 1.8">
          <path d="M2.5 15V2.5h11V15" />
          <path d="M1 9h14" strokeDasharray="none" />
        </g>
      );
  }
}

const asideColour = paint.dusk;

/** Tick: used. Loop: rolled over. Step down and on: a new count. Crossed ring: set aside. Dots: not judged yet. */
export function VerdictShape({ verdict }: { verdict: VerdictWord }) {
  switch (verdict) {
    case 'used':
      return <path d="M2.5 8.6 6.4 12.4 13.6 4" fill="none" stroke={paint.ice} strokeWidth={2.4} />;
    case 'used-rollover':
      return (
        <g fill="none" stroke={paint.ice} strokeWidth={2.2}>
          <path d="M13 6.2A5.6 5.6 0 1 0 13.4 10" />
          <path d="M13.8 2v4.6H9.2" />
        </g>
      );
    case 'used-reset':
      return <path d="M1.5 11.5 6.5 4v9L14.5 3" fill="none" stroke={paint.ice} strokeWidth={2.2} strokeLinejoin="bevel" />;
    case 'pending':
      return (
        <g fill={paint.slateSoft}>
          <circle cx={2.6} cy={8} r={1.7} />
          <circle cx={8} cy={8} r={1.7} />
          <circle cx={13.4} cy={8} r={1.7} />
        </g>
      );
    default:
      return (
        <g fill="none" stroke={asideColour} strokeWidth={2}>
          <circle cx={8} cy={8} r={6.2} fill={paint.paper} />
          <path d="M5 5l6 6M11 5l-6 6" />
        </g>
      );
  }
}
