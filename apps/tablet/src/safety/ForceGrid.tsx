import type { ForceTestVerdict, MeasuringPoint } from '@lintel/engine';
import { OutcomeMark } from '@lintel/ui';

export const acrossWords: Record<MeasuringPoint['across'], string> = { left: 'left', middle: 'middle', right: 'right' };

/** The measuring points as they hang in the opening: highest on top, left at the left. */
export function ForceGrid({ points, verdict, needed, chosen, onChoose }: {
  points: readonly MeasuringPoint[];
  verdict: ForceTestVerdict;
  needed: number;
  chosen: MeasuringPoint;
  onChoose: (point: MeasuringPoint) => void;
}) {
  const heights = [...new Set(points.map(({ heightMm }) => heightMm))].sort((a, b) => b - a);
  const stateOf = (point: MeasuringPoint) => verdict.points.find((one) => one.point.heightMm === point.heightMm && one.point.across === point.across);
  return (
    <div className="force-grid" role="group" aria-label="Measuring points">
      {heights.map((height) => (
        <div key={height} className="force-row">
          {points.filter(({ heightMm }) => heightMm === height).map((point) => {
            const state = stateOf(point);
            const taken = state?.readings ?? 0;
            const over = state?.verdict?.reasons.some(({ code }) => code !== 'readings-missing') ?? false;
            const here = chosen.heightMm === point.heightMm && chosen.across === point.across;
            return (
              <button key={point.across} type="button" className="button tall" aria-pressed={here} onClick={() => onChoose(point)}>
                <span>{point.heightMm} mm, {acrossWords[point.across]}</span>
                <small>{taken} of {needed}</small>
                {over ? <OutcomeMark outcome="failed" word="over a limit" /> : state?.verdict?.passed ? <OutcomeMark outcome="passed" /> : null}
              </button>
            );
          })}
        </div>
      ))}
    </div>
  );
}
