import type { ForceFigures, ForceSample, MeasuringPoint } from '@lintel/engine';
import { forceMarks, limitLine, thinnedCurve } from '@lintel/engine';
import { formatWhole } from '../format/numbers.js';
import { palette } from '../palette.js';

/** One recorded curve with the limits of its point; null where none are known. */
export interface RecordedCurve {
  heightMm: number;
  across: MeasuringPoint['across'];
  samples: readonly ForceSample[];
  limits: ForceFigures | null;
  /** From how long after the contact the residual limit holds. */
  residualAfterMs: number;
}

const width = 240;
const height = 110;
const edge = { left: 34, right: 6, top: 8, bottom: 18 };
/** More points than pixels say nothing. */
const mostSamples = 400;

/** The recorded force–time curves against their limits, a small picture each; nothing where only figures were typed. */
export function ForceCurves({ curves }: { curves: readonly RecordedCurve[] }) {
  const recorded = curves.filter(({ samples }) => samples.length > 1);
  if (recorded.length === 0) return null;
  const most = Math.max(...recorded.flatMap((curve) => [peakOf(curve.samples), curve.limits?.peakNewton ?? 0]), 1);
  return (
    <>
      <ul style={{ listStyle: 'none', margin: '8px 0 0', padding: 0, display: 'grid', gap: 8, gridTemplateColumns: `repeat(auto-fill, minmax(${width}px, 1fr))` }}>
        {recorded.map((curve, index) => (
          <li key={`${curve.heightMm} ${curve.across} ${index}`}>
            <Curve curve={curve} most={most} />
          </li>
        ))}
      </ul>
      <div style={{ color: palette.slate, fontSize: '0.88em', marginTop: 4 }}>Broken line: limits of peak, static and residual force.</div>
    </>
  );
}

const peakOf = (samples: readonly ForceSample[]): number => samples.reduce((most, { newton }) => Math.max(most, newton), 0);

function Curve({ curve: { heightMm, across, samples, limits, residualAfterMs }, most }: { curve: RecordedCurve; most: number }) {
  const first = samples[0]?.ms ?? 0;
  const last = samples.at(-1)?.ms ?? 0;
  const spanMs = Math.max(1, last - first);
  const x = (ms: number) => edge.left + ((ms - first) / spanMs) * (width - edge.left - edge.right);
  const y = (newton: number) => height - edge.bottom - (Math.max(0, newton) / (most * 1.05)) * (height - edge.top - edge.bottom);
  const path = (line: readonly ForceSample[]) => line.map(({ ms, newton }, index) => `${index === 0 ? 'M' : 'L'}${x(ms).toFixed(1)} ${y(newton).toFixed(1)}`).join('');
  const place = `${formatWhole(heightMm)} mm, ${across}`;
  const peak = `peak ${formatWhole(peakOf(samples))} N${limits ? ` of ${formatWhole(limits.peakNewton)} N allowed` : ''}`;
  return (
    <figure style={{ margin: 0 }}>
      <svg width="100%" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={`Force over time at ${place}: ${peak} in ${formatWhole(spanMs)} ms`} style={{ border: `1px solid ${palette.line}`, background: palette.paper }}>
        <path d={`M${edge.left} ${edge.top}V${height - edge.bottom}H${width - edge.right}`} fill="none" stroke={palette.slateSoft} />
        <text x={edge.left - 4} y={y(most) + 4} fontSize={10} textAnchor="end" fill={palette.slate}>{formatWhole(most)} N</text>
        <text x={width - edge.right} y={height - 5} fontSize={10} textAnchor="end" fill={palette.slate}>{formatWhole(spanMs)} ms</text>
        {limits ? <path d={path(allowed(limits, residualAfterMs, samples))} fill="none" stroke={palette.signal} strokeWidth={1.4} strokeDasharray="5 3" /> : null}
        <path d={path(thinnedCurve(samples, mostSamples))} fill="none" stroke={palette.ice} strokeWidth={1.4} />
      </svg>
      <figcaption style={{ fontSize: '0.85em', color: palette.inkSoft }}>{place}, {peak}</figcaption>
    </figure>
  );
}

/** The limits as one stepped line over the record. */
function allowed(limits: ForceFigures, residualAfterMs: number, samples: readonly ForceSample[]): ForceSample[] {
  const marks = forceMarks(samples, { dynamicMs: limits.dynamicMs, residualAfterMs });
  return limitLine(limits, marks, samples[0]!.ms, samples.at(-1)!.ms);
}
