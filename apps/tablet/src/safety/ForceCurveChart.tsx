import { DYNAMIC_THRESHOLD_NEWTON, type ForceLimits, type ForceMarks, type ForceSample } from '@lintel/engine';
import { formatWhole, paint } from '@lintel/ui';

const size = { width: 640, height: 260, left: 52, right: 12, top: 12, bottom: 34 };
/** Points drawn at most: more than the screen has columns shows nothing more. */
const mostPoints = 700;

/** A force–time curve with the limits that hold in each of its phases. */
export function ForceCurveChart({ curve, limits, marks }: { curve: readonly ForceSample[]; limits: ForceLimits; marks: ForceMarks | undefined }) {
  const from = curve[0]!.ms;
  const to = Math.max(curve.at(-1)!.ms, (marks?.residualFromMs ?? from) + 200);
  const peak = curve.reduce((most, { newton }) => Math.max(most, newton), 0);
  const top = Math.max(peak, limits.peakNewton) * 1.1;
  const x = (ms: number): number => size.left + ((ms - from) / (to - from)) * (size.width - size.left - size.right);
  const y = (newton: number): number => size.top + (1 - Math.max(0, newton) / top) * (size.height - size.top - size.bottom);
  const line = drawn(curve).map(({ ms, newton }, at) => `${at === 0 ? 'M' : 'L'}${x(ms).toFixed(1)} ${y(newton).toFixed(1)}`).join('');
  const bounds = [
    { word: `peak ${limits.peakNewton} N`, newton: limits.peakNewton, from, to: marks?.staticFromMs ?? to },
    ...(marks ? [
      { word: `static ${limits.staticNewton} N`, newton: limits.staticNewton, from: marks.staticFromMs, to: marks.residualFromMs },
      { word: `residual ${limits.residualNewton} N`, newton: limits.residualNewton, from: marks.residualFromMs, to },
    ] : []),
  ];
  const seconds = Array.from({ length: Math.floor((to - from) / 1000) + 1 }, (_none, at) => at);
  return (
    <svg viewBox={`0 0 ${size.width} ${size.height}`} className="curve" role="img" aria-label={`Force curve: greatest force ${formatWhole(peak)} N of ${limits.peakNewton} N allowed`}>
      {seconds.map((second) => (
        <g key={second}>
          <path d={`M${x(from + second * 1000)} ${size.top}V${size.height - size.bottom}`} stroke={paint.lineSoft} />
          <text x={x(from + second * 1000)} y={size.height - 12} textAnchor="middle">{second} s</text>
        </g>
      ))}
      <text x={size.left - 8} y={y(0)} textAnchor="end">0</text>
      <text x={size.left - 8} y={y(DYNAMIC_THRESHOLD_NEWTON) + 5} textAnchor="end">{DYNAMIC_THRESHOLD_NEWTON}</text>
      <text x={size.left - 8} y={y(limits.peakNewton) + 5} textAnchor="end">{limits.peakNewton}</text>
      <path d={`M${size.left} ${y(0)}H${size.width - size.right}`} stroke={paint.slate} />
      {marks?.dynamic ? (
        <rect x={x(marks.dynamic.fromMs)} y={size.top} width={Math.max(1, x(marks.dynamic.toMs) - x(marks.dynamic.fromMs))} height={y(0) - size.top} fill={paint.iceSoft} />
      ) : null}
      {bounds.map((bound) => (
        <g key={bound.word}>
          <path d={`M${x(bound.from)} ${y(bound.newton)}H${x(bound.to)}`} stroke={paint.signal} strokeWidth={2} strokeDasharray="7 4" />
          <text x={x(bound.from) + 4} y={y(bound.newton) - 5} fill={paint.signal}>{bound.word}</text>
        </g>
      ))}
      <path d={line} fill="none" stroke={paint.ink} strokeWidth={2.2} strokeLinejoin="round" />
    </svg>
  );
}

/** As many points as can be seen, with the greatest force of each stretch, so that no peak is lost. */
function drawn(curve: readonly ForceSample[]): readonly ForceSample[] {
  const stretch = Math.ceil(curve.length / mostPoints);
  if (stretch <= 1) return curve;
  const kept: ForceSample[] = [curve[0]!];
  for (let at = 1; at < curve.length - 1; at += stretch) {
    kept.push(curve.slice(at, at + stretch).reduce((most, sample) => (sample.newton > most.newton ? sample : most)));
  }
  return [...kept, curve.at(-1)!];
}
