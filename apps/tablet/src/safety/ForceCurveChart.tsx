import { DYNAMIC_THRESHOLD_NEWTON, type ForceLimits, type ForceMarks, type ForceSample, limitSteps, thinnedCurve } from '@lintel/engine';
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
  const line = thinnedCurve(curve, mostPoints).map(({ ms, newton }, at) => `${at === 0 ? 'M' : 'L'}${x(ms).toFixed(1)} ${y(newton).toFixed(1)}`).join('');
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
      {limitSteps(limits, marks, from, to).map(({ of, newton, fromMs, toMs }) => (
        <g key={of}>
          <path d={`M${x(fromMs)} ${y(newton)}H${x(toMs)}`} stroke={paint.signal} strokeWidth={2} strokeDasharray="7 4" />
          <text x={x(fromMs) + 4} y={y(newton) - 5} fill={paint.signal}>{`${of} ${newton} N`}</text>
        </g>
      ))}
      <path d={line} fill="none" stroke={paint.ink} strokeWidth={2.2} strokeLinejoin="round" />
    </svg>
  );
}
