import type { ForceTestVerdict, ForceVerdict, StepValue } from '@lintel/engine';
import { residualAfterMs } from '@lintel/engine';
import { formatWhole } from '../format/numbers.js';
import { palette } from '../palette.js';
import { ForceCurves, type RecordedCurve } from './ForceCurves.js';
import { OutcomeMark } from './WorkMarks.js';

type ForceValue = Extract<StepValue, { kind: 'force-test' }>;
type Figure = 'peakNewton' | 'dynamicMs' | 'staticNewton' | 'residualNewton';

const figures: readonly { figure: Figure; word: string; unit: string }[] = [
  { figure: 'peakNewton', word: 'Peak', unit: 'N' },
  { figure: 'dynamicMs', word: 'Dynamic time', unit: 'ms' },
  { figure: 'staticNewton', word: 'Static', unit: 'N' },
  { figure: 'residualNewton', word: 'Residual', unit: 'N' },
];

const cell = { padding: '4px 10px 4px 0', textAlign: 'left', verticalAlign: 'top', borderTop: `1px solid ${palette.lineSoft}` } as const;

/**
 * A closing force test, point by point: the mean of each figure against its limit as a bar, and the curves where they were
 * recorded. Heights in mm over the floor.
 */
export function ForcePoints({ value }: { value: ForceValue }) {
  return (
    <div>
      {/* A table that is wider than its place is scrolled by itself, also by keyboard. */}
      {/* oxlint-disable-next-line jsx-a11y/no-noninteractive-tabindex */}
      <div style={{ overflowX: 'auto' }} tabIndex={0} role="region" aria-label="Closing force, point by point">
        <table style={{ borderCollapse: 'collapse', width: '100%', minWidth: 560, fontSize: '0.92em' }}>
          <thead>
            <tr>
              <th scope="col" style={{ ...cell, borderTop: 0 }}>Measured at</th>
              {figures.map(({ figure, word, unit }) => (
                <th key={figure} scope="col" style={{ ...cell, borderTop: 0 }}>{word}, {unit}</th>
              ))}
              <th scope="col" style={{ ...cell, borderTop: 0 }}>Point</th>
            </tr>
          </thead>
          <tbody>
            {value.verdict.points.map((point) => (
              <PointRow key={`${point.point.heightMm} ${point.point.across}`} point={point} />
            ))}
          </tbody>
        </table>
      </div>
      <Limits verdict={value.verdict} />
      <ForceCurves curves={curvesOf(value)} />
    </div>
  );
}

function curvesOf({ readings = [], verdict }: ForceValue): RecordedCurve[] {
  return readings.map(({ heightMm, across, curve = [] }) => {
    const limits = verdict.points.find(({ point }) => point.heightMm === heightMm && point.across === across)?.verdict?.limits;
    return { heightMm, across, samples: curve, limits: limits ?? null, residualAfterMs: residualAfterMs(limits?.rows ?? []) };
  });
}

function PointRow({ point: { point, readings, verdict } }: { point: ForceTestVerdict['points'][number] }) {
  return (
    <tr>
      <th scope="row" style={{ ...cell, fontWeight: 500 }}>
        {formatWhole(point.heightMm)} mm, {point.across} <span style={{ color: palette.slate }}>({readings}×)</span>
      </th>
      {figures.map(({ figure }) => (
        <td key={figure} style={cell}>{verdict ? <Bar verdict={verdict} figure={figure} /> : '–'}</td>
      ))}
      <td style={cell}>{verdict ? <OutcomeMark outcome={verdict.passed ? 'passed' : 'failed'} /> : 'not measured'}</td>
    </tr>
  );
}

const barWidth = 84;
/** The limit stands at three quarters of the bar, so that what is over it can be seen too. */
const limitShare = 0.75;

function Bar({ verdict, figure }: { verdict: ForceVerdict; figure: Figure }) {
  const mean = verdict.figures[figure];
  const limit = verdict.limits[figure];
  const over = mean > limit;
  const share = Math.min(1, limit > 0 ? (mean / limit) * limitShare : 0);
  return (
    <div style={over ? { color: palette.signalDeep, fontWeight: 700 } : undefined}>
      {formatWhole(mean)} <span style={{ color: palette.slate, fontWeight: 450 }}>of {formatWhole(limit)}{over ? ', over' : ''}</span>
      <svg width={barWidth} height={7} aria-hidden="true" style={{ display: 'block' }}>
        <rect x={0} y={1} width={barWidth} height={5} fill={palette.frostDeep} />
        <rect x={0} y={1} width={barWidth * share} height={5} fill={over ? palette.signal : palette.ice} />
        <path d={`M${barWidth * limitShare} 0V7`} stroke={palette.ink} strokeWidth={1.5} />
      </svg>
    </div>
  );
}

function Limits({ verdict }: { verdict: ForceTestVerdict }) {
  const known = verdict.points.find(({ verdict: point }) => point)?.verdict?.limits;
  return (
    <div style={{ color: palette.slate, fontSize: '0.88em', marginTop: 4 }}>
      Means of the readings at each point; the line in a bar is the limit{known ? `, from ${known.table}, version ${known.version}` : ''}.
    </div>
  );
}
