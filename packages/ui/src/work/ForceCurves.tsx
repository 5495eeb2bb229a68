import type { PointReading } from '@lintel/engine';
import { formatWhole } from '../format/numbers.js';
import { palette } from '../palette.js';

interface Sample {
  ms: number;
  newton: number;
}

const width = 240;
const height = 110;
const edge = { left: 34, right: 6, top: 8, bottom: 18 };
/** More points than pixels say nothing. */
const mostSamples = 400;

/** The recorded force–time curves, a small picture each; nothing where only figures were typed. */
export function ForceCurves({ readings }: { readings: readonly PointReading[] }) {
  const recorded = readings.filter(({ curve }) => curve && curve.length > 1);
  if (recorded.length === 0) return null;
  const most = Math.max(...recorded.map(({ figures }) => figures.peakNewton), 1);
  return (
    <ul style={{ listStyle: 'none', margin: '8px 0 0', padding: 0, display: 'grid', gap: 8, gridTemplateColumns: `repeat(auto-fill, minmax(${width}px, 1fr))` }}>
      {recorded.map((reading, index) => (
        <li key={`${reading.heightMm} ${reading.across} ${index}`}>
          <Curve reading={reading} samples={reading.curve ?? []} most={most} />
        </li>
      ))}
    </ul>
  );
}

function Curve({ reading, samples, most }: { reading: PointReading; samples: readonly Sample[]; most: number }) {
  const first = samples[0]?.ms ?? 0;
  const spanMs = Math.max(1, (samples.at(-1)?.ms ?? 0) - first);
  const x = (ms: number) => edge.left + ((ms - first) / spanMs) * (width - edge.left - edge.right);
  const y = (newton: number) => height - edge.bottom - (Math.max(0, newton) / (most * 1.05)) * (height - edge.top - edge.bottom);
  const place = `${formatWhole(reading.heightMm)} mm, ${reading.across}`;
  const peak = `peak ${formatWhole(reading.figures.peakNewton)} N`;
  return (
    <figure style={{ margin: 0 }}>
      <svg width="100%" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={`Force over time at ${place}: ${peak} in ${formatWhole(spanMs)} ms`} style={{ border: `1px solid ${palette.line}`, background: palette.paper }}>
        <path d={`M${edge.left} ${edge.top}V${height - edge.bottom}H${width - edge.right}`} fill="none" stroke={palette.slateSoft} />
        <text x={edge.left - 4} y={y(most) + 4} fontSize={10} textAnchor="end" fill={palette.slate}>{formatWhole(most)} N</text>
        <text x={width - edge.right} y={height - 5} fontSize={10} textAnchor="end" fill={palette.slate}>{formatWhole(spanMs)} ms</text>
        <path d={thinned(samples).map(({ ms, newton }, index) => `${index === 0 ? 'M' : 'L'}${x(ms).toFixed(1)} ${y(newton).toFixed(1)}`).join('')} fill="none" stroke={palette.ice} strokeWidth={1.4} />
      </svg>
      <figcaption style={{ fontSize: '0.85em', color: palette.inkSoft }}>{place}, {peak}</figcaption>
    </figure>
  );
}

/** Of each stretch its greatest force, so that no peak is lost. */
export function thinned(samples: readonly Sample[], most = mostSamples): readonly Sample[] {
  if (samples.length <= most) return samples;
  const stretch = Math.ceil(samples.length / most);
  return Array.from({ length: Math.ceil(samples.length / stretch) }, (_, index) =>
    samples.slice(index * stretch, (index + 1) * stretch).reduce((highest, sample) => (sample.newton > highest.newton ? sample : highest)),
  );
}
