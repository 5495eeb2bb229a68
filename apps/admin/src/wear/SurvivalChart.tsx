import type { AgeUnit, WearPlot } from '@lintel/contract';
import { palette } from '@lintel/ui';
import { useMemo } from 'react';
import { Area, CartesianGrid, ComposedChart, Line, ResponsiveContainer, XAxis, YAxis } from 'recharts';
import { ChartFrame, ChartKeys } from '../common/ChartFrame.js';
import { axisAmount, daysPerTick, evenTicks, tick } from './axes.js';
import { highestSeen } from './plotData.js';

interface SurvivalPoint {
  age: number;
  share?: number;
  band?: [number, number];
  learned?: number;
}

/** The share of parts that live on, as it was seen (Kaplan–Meier), beside the law of this version. */
export default function SurvivalChart({ plot, unit, fileName }: { plot: WearPlot; unit: AgeUnit; fileName: string }) {
  const points = useMemo(() => pointsOf(plot), [plot]);
  const keys = [
    { word: 'seen', mark: <path d="M0 4h8v4h7v5h7" fill="none" stroke={palette.signal} strokeWidth={2} /> },
    { word: '95 chances in 100', mark: <rect y={2} width={22} height={12} fill={palette.signalSoft} /> },
    { word: 'in this version', mark: <path d="M0 8h22" stroke={palette.ink} strokeWidth={2.5} /> },
  ];
  return (
    <ChartFrame summary={`Share of parts that live beyond an age, in ${plot.survival.length} steps, and the law of this version.`} fileName={fileName} rows={plot.survival.map((step) => ({ ...step }))} legend={<ChartKeys keys={plot.survival.length > 0 ? keys : keys.slice(2)} />}>
      <ResponsiveContainer width="100%" height={260}>
        <ComposedChart data={points} margin={{ top: 8, right: 20, bottom: 4, left: 4 }} accessibilityLayer={false}>
          <CartesianGrid stroke={palette.lineSoft} vertical={false} />
          <XAxis dataKey="age" type="number" domain={[0, 'dataMax']} ticks={evenTicks(points.at(-1)?.age ?? 1, daysPerTick(unit))} tickFormatter={(age: number) => axisAmount(age, unit)} tick={tick} stroke={palette.slateSoft} minTickGap={24} />
          <YAxis type="number" domain={[0, 1]} ticks={[0, 0.25, 0.5, 0.75, 1]} tickFormatter={(share: number) => `${share * 100} %`} tick={tick} stroke={palette.slateSoft} width={56} />
          <Area dataKey="band" type="stepAfter" connectNulls stroke="none" fill={palette.signalSoft} fillOpacity={1} isAnimationActive={false} activeDot={false} />
          <Line dataKey="learned" type="monotone" connectNulls stroke={palette.ink} strokeWidth={2.2} dot={false} activeDot={false} isAnimationActive={false} />
          <Line dataKey="share" type="stepAfter" connectNulls stroke={palette.signal} strokeWidth={2} dot={false} activeDot={false} isAnimationActive={false} />
        </ComposedChart>
      </ResponsiveContainer>
    </ChartFrame>
  );
}

/** Steps and law on one axis; neither has a value where only the other has a point. */
function pointsOf(plot: WearPlot): SurvivalPoint[] {
  const { survival, learned, suspensions } = plot;
  const highest = highestSeen(plot);
  const last = Math.max(learned.find(({ share }) => share >= highest)?.age ?? 0, survival.at(-1)?.age ?? 0);
  const seen: SurvivalPoint[] = survival.map(({ age, share, low, high }) => ({ age, share, band: [low, high] }));
  const end = survival.at(-1);
  const observed = Math.min(last, Math.max(0, ...suspensions));
  if (end && observed > end.age) seen.push({ age: observed, share: end.share, band: [end.low, end.high] });
  const law = learned.filter(({ age }) => age <= last).map(({ age, share }) => ({ age, learned: 1 - share }));
  const start: SurvivalPoint = { age: 0, learned: 1, ...(end ? { share: 1, band: [1, 1] as [number, number] } : {}) };
  return [start, ...[...seen, ...law].sort((a, b) => a.age - b.age)];
}
