import type { FindingSeverity, StepOutcome, WorkState } from '@lintel/engine';
import { paint, paintOf, palette } from '../palette.js';

/** Drawn in a box of 16 × 16 like all marks: a job sheet that fills as the work goes on. */

export const workStateColours: Record<WorkState, string> = {
  planned: palette.slate,
  released: palette.ice,
  started: palette.dusk,
  completed: palette.ink,
  reviewed: palette.slate,
  cancelled: palette.slate,
};

const sheet = 'M2.2 1.6h11.6v12.8H2.2Z';

/** Dashed sheet: planned. Sheet with an arrow: released. Half full: under way. Full with a tick: completed. Tick over a line: reviewed. Struck out: cancelled. */
export function WorkStateShape({ state }: { state: WorkState }) {
  const colour = paintOf(workStateColours[state]);
  switch (state) {
    case 'planned':
      return <path d={sheet} fill={paint.paper} stroke={colour} strokeWidth={1.8} strokeDasharray="2.6 1.9" />;
    case 'released':
      return (
        <g>
          <path d={sheet} fill={paint.paper} stroke={colour} strokeWidth={1.8} />
          <path d="M6 4.6 11 8l-5 3.4Z" fill={colour} />
        </g>
      );
    case 'started':
      return (
        <g>
          <path d={sheet} fill={paint.paper} stroke={colour} strokeWidth={1.8} />
          <path d="M2.2 8h11.6v6.4H2.2Z" fill={colour} />
        </g>
      );
    case 'completed':
      return (
        <g>
          <path d={sheet} fill={colour} stroke={colour} strokeWidth={1.8} />
          <path d="M4.6 8.2 7.2 10.8 11.6 5" fill="none" stroke={paint.paper} strokeWidth={2} />
        </g>
      );
    case 'reviewed':
      return (
        <g fill="none" stroke={colour} strokeWidth={2}>
          <path d="M2.6 6.8 6.4 10.4 13.4 2.6" />
          <path d="M2.2 14h11.6" />
        </g>
      );
    case 'cancelled':
      return (
        <g fill="none" stroke={colour}>
          <path d={sheet} strokeWidth={1.4} />
          <path d="M0.8 15.2 15.2 0.8" strokeWidth={2} />
        </g>
      );
  }
}

export const severityColours: Record<FindingSeverity, string> = {
  note: palette.slate,
  defect: palette.dusk,
  unsafe: palette.signal,
};

/** Lines of writing: a note. Cracked diamond: a defect. Full octagon with a bar: unsafe. */
export function SeverityShape({ severity }: { severity: FindingSeverity }) {
  const colour = paintOf(severityColours[severity]);
  switch (severity) {
    case 'note':
      return <path d="M2 4h12M2 8h12M2 12h7" fill="none" stroke={colour} strokeWidth={1.9} />;
    case 'defect':
      return (
        <g>
          <path d="M8 1 15 8 8 15 1 8Z" fill={paint.duskSoft} stroke={colour} strokeWidth={1.7} />
          <path d="M9.4 3.2 6.8 7.4h2.6l-2.4 5" fill="none" stroke={colour} strokeWidth={1.6} />
        </g>
      );
    case 'unsafe':
      return (
        <g>
          <path d="M5 0.8h6L15.2 5v6L11 15.2H5L0.8 11V5Z" fill={colour} />
          <path d="M8 3.6v5.6M8 10.9v1.9" stroke={paint.paper} strokeWidth={2.1} />
        </g>
      );
  }
}

export const outcomeColours: Record<StepOutcome, string> = {
  passed: palette.ice,
  failed: palette.signal,
  recorded: palette.slate,
};

/** Tick: passed. Cross in a full square: failed. Dot: recorded, nothing to pass. */
export function OutcomeShape({ outcome }: { outcome: StepOutcome }) {
  const colour = paintOf(outcomeColours[outcome]);
  switch (outcome) {
    case 'passed':
      return <path d="M2.2 8.6 6.2 12.6 13.8 3.8" fill="none" stroke={colour} strokeWidth={2.5} />;
    case 'failed':
      return (
        <g>
          <path d="M1.2 1.2h13.6v13.6H1.2Z" fill={colour} />
          <path d="M4.6 4.6l6.8 6.8M11.4 4.6l-6.8 6.8" stroke={paint.paper} strokeWidth={2.1} />
        </g>
      );
    case 'recorded':
      return <circle cx={8} cy={8} r={3.4} fill={colour} />;
  }
}
