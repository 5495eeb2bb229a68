import { changeForceLimit, checkStep, defaultForceLimits, forceFigures, thinnedCurve, typedReading } from '@lintel/engine';
import type { ForceLimitTable, ForceSample, PointReading, StepValue, WorkStep } from '@lintel/engine';
import { ForcePoints } from '@lintel/ui';
import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';

const step: Extract<WorkStep, { kind: 'force-test' }> = { id: 'f', kind: 'force-test', text: 'Force', opening: { widthMm: 3000, heightMm: 3000 }, limits: defaultForceLimits };
const gauge = { samplingHertz: 1000, accuracyPercent: 5, rangeFromNewton: 0, rangeToNewton: 2000, springNewtonPerMm: 500, discMm: 80, calibratedOn: '2026-01-10' };
const figures = { peakNewton: 300, dynamicMs: 200, staticNewton: 100, residualNewton: 20 };
const places = [50, 300, 2500].flatMap((heightMm) => (['left', 'middle', 'right'] as const).map((across) => ({ heightMm, across })));
const usual: PointReading[] = places.flatMap((place) => Array.from({ length: 3 }, () => ({ ...place, ...typedReading(figures) })));

function drawn(readings: readonly PointReading[], limits = defaultForceLimits): string {
  const value = checkStep({ ...step, limits }, { kind: 'force-test', readings, gauge, usedOn: '2026-02-01' });
  if ('refused' in value) throw new Error(value.refused);
  return renderToStaticMarkup(<ForcePoints value={value as Extract<StepValue, { kind: 'force-test' }>} />);
}

describe('a closing force test', () => {
  it('shows each of the nine points with its means against the limits, and says which is over', () => {
    const good = drawn(usual);
    expect(good.match(/<th scope="row"/g)).toHaveLength(9);
    expect(good).not.toContain(', over');
    expect(good.match(/passed/g)).toHaveLength(9);
    const bad = drawn(usual.map((reading) => (reading.heightMm === 50 && reading.across === 'left' ? { ...reading, figures: { ...figures, peakNewton: 430 } } : reading)));
    // 400 N: the limit of the vertical peak at small gaps in the table of limits in use.
    expect(bad).toMatch(/430 <span[^>]*>of 400, over/);
    expect(bad.match(/, over/g)).toHaveLength(1);
    expect(bad.match(/failed/g)).toHaveLength(1);
  });

  it('draws the curves that were recorded, and none where figures were typed', () => {
    expect(drawn(usual)).not.toContain('role="img"');
    // Up to 280 N within 40 ms, held for 300 ms, then none: at 1 kHz.
    const curve: ForceSample[] = Array.from({ length: 6001 }, (_, ms) => ({ ms, newton: ms < 40 ? ms * 7 : ms < 340 ? 280 : 0 }));
    const read = forceFigures(curve, defaultForceLimits);
    if ('refused' in read) throw new Error(read.refused);
    const recorded = usual.map((reading, index) => (index === 0 ? { ...reading, figures: read.figures, shortfalls: read.shortfalls, curve } : reading));
    const shown = drawn(recorded);
    expect(shown.match(/role="img"/g)).toHaveLength(1);
    expect(shown).toContain('Force over time at 50 mm, left: peak 280 N of 400 N allowed in 6,000 ms');
    // Three steps of the limit, from contact (above 25 N, so at 4 ms) on.
    expect(shown).toContain('stroke-dasharray');
  });

  it('draws the residual limit from where the table in use puts it', () => {
    const curve: ForceSample[] = Array.from({ length: 6001 }, (_, ms) => ({ ms, newton: ms < 40 ? ms * 7 : ms < 340 ? 280 : 0 }));
    const corners = (limits: ForceLimitTable): number[] => {
      const read = forceFigures(curve, limits);
      if ('refused' in read) throw new Error(read.refused);
      const readings = usual.map((reading, index) => (index === 0 ? { ...reading, figures: read.figures, shortfalls: read.shortfalls, curve } : reading));
      const dashed = /<path d="(?<line>[^"]*)"[^>]*stroke-dasharray/.exec(drawn(readings, limits))!.groups!.line!;
      return [...dashed.matchAll(/[ML](?<x>[\d.]+)/g)].map((corner) => Number(corner.groups!.x));
    };
    const sooner = changeForceLimit(defaultForceLimits, { row: 'residual-after', value: 3000, by: 'Ines Vidal', on: '2026-01-02', reason: 'seen sooner' });
    if ('refused' in sooner) throw new Error(sooner.refused);
    // 200 px hold 6,000 ms from x = 34; contact at 25/7 ms, so the step stands at 34 + (3.57 + 5000)/30 and 34 + (3.57 + 3000)/30.
    expect(corners(defaultForceLimits).slice(-2)).toEqual([200.8, 234]);
    expect(corners(sooner).slice(-2)).toEqual([134.1, 234]);
  });

  it('loses no peak when a curve is drawn with fewer points', () => {
    const curve = Array.from({ length: 10_000 }, (_, ms) => ({ ms, newton: ms === 4321 ? 555 : 1 }));
    const few = thinnedCurve(curve, 400);
    expect(few.length).toBeLessThanOrEqual(400);
    expect(Math.max(...few.map(({ newton }) => newton))).toBe(555);
  });
});
