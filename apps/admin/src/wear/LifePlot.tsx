import type { AgeUnit, WearAnalysis, WearPlot } from '@lintel/contract';
import { palette } from '@lintel/ui';
import { useMemo } from 'react';
import { Area, CartesianGrid, ComposedChart, Line, ResponsiveContainer, Scatter, XAxis, YAxis } from 'recharts';
import { ChartFrame, ChartKeys } from '../common/ChartFrame.js';
import { axisAmount, daysPerTick, tick } from './axes.js';
import { ageTicks, heightOf, HIGHEST_SHARE, LOWEST_SHARE, paperData } from './plotData.js';
import type { PaperData } from './plotData.js';

interface LifePlotProps {
  analysis: WearAnalysis;
  unit: AgeUnit;
  fileName: string;
  /** Another version to compare with. */
  other: { number: number; plot: WearPlot } | null;
}

const SHARES = [0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 0.7, 0.9, 0.99];

/** Weibull paper: failures as points, lives that did not fail along the foot, the law in use with its band, the rating's own line. */
export default function LifePlot({ analysis: { plot, fit }, unit, fileName, other }: LifePlotProps) {
  const data = useMemo(() => paperData(plot, fit, other?.plot ?? null), [plot, fit, other]);
  const keys = [
    ...(plot.failures.length > 0 ? [{ word: 'failures', mark: <circle cx={11} cy={8} r={4.5} fill={palette.signal} /> }] : []),
    ...(data.suspensions.length > 0 ? [{ word: 'not failed', mark: <path d="M11 3v10" stroke={palette.slate} strokeWidth={2} /> }] : []),
    { word: 'in this version', mark: <path d="M0 8h22" stroke={palette.ink} strokeWidth={2.5} /> },
    { word: 'nine chances in ten', mark: <rect y={2} width={22} height={12} fill={palette.iceSoft} /> },
    ...(fit ? [{ word: 'lives alone', mark: <path d="M0 8h22" stroke={palette.signal} strokeWidth={2} strokeDasharray="2 3" /> }] : []),
    { word: 'rating alone', mark: <path d="M0 8h22" stroke={palette.ice} strokeWidth={2} strokeDasharray="7 4" /> },
    ...(other ? [{ word: `version ${other.number}`, mark: <path d="M0 8h22" stroke={palette.dusk} strokeWidth={2} strokeDasharray="10 3 2 3" /> }] : []),
  ];
  return (
    <ChartFrame
      summary={`Probability plot on Weibull paper: ${plot.failures.length} plotted failures, ${data.suspensions.length} lives that had not failed, the line of this version with its band, and the rating’s line.`}
      fileName={fileName}
      rows={rowsOf(plot)}
      legend={<ChartKeys keys={keys} />}
    >
      <Paper data={data} unit={unit} />
    </ChartFrame>
  );
}

function Paper({ data, unit }: { data: PaperData; unit: AgeUnit }) {
  const line = { dot: false, isAnimationActive: false, activeDot: false } as const;
  return (
    <ResponsiveContainer width="100%" height={380}>
      <ComposedChart data={data.points} margin={{ top: 8, right: 20, bottom: 22, left: 4 }} accessibilityLayer={false}>
        <CartesianGrid stroke={palette.lineSoft} />
        <XAxis dataKey="logAge" type="number" domain={[data.from, data.to]} allowDataOverflow ticks={ageTicks(data.from, data.to, daysPerTick(unit))} tickFormatter={(at: number) => axisAmount(Math.exp(at), unit)} tick={tick} stroke={palette.slateSoft} minTickGap={18} label={{ value: unit === 'cycles' ? 'age, cycles' : 'age, months', position: 'insideBottom', offset: -14, fill: palette.slate, fontSize: 12 }} />
        <YAxis type="number" domain={[heightOf(LOWEST_SHARE), heightOf(HIGHEST_SHARE)]} allowDataOverflow ticks={SHARES.map(heightOf)} tickFormatter={shareWord} tick={tick} stroke={palette.slateSoft} width={56} interval={0} />
        <Area dataKey="band" stroke="none" fill={palette.iceSoft} fillOpacity={0.85} isAnimationActive={false} activeDot={false} />
        <Line {...line} dataKey="rated" stroke={palette.ice} strokeWidth={2} strokeDasharray="7 4" />
        <Line {...line} dataKey="fitted" stroke={palette.signal} strokeWidth={1.6} strokeDasharray="2 3" />
        <Line {...line} dataKey="other" stroke={palette.dusk} strokeWidth={2} strokeDasharray="10 3 2 3" />
        <Line {...line} dataKey="learned" stroke={palette.ink} strokeWidth={2.4} />
        {data.suspensions.length > 0 ? <Scatter data={data.suspensions} dataKey="height" shape={Tick} isAnimationActive={false} /> : null}
        {data.failures.length > 0 ? <Scatter data={data.failures} dataKey="height" shape={Failure} isAnimationActive={false} /> : null}
      </ComposedChart>
    </ResponsiveContainer>
  );
}

function Failure({ cx, cy }: { cx?: number | undefined; cy?: number | undefined }) {
  return cx === undefined || cy === undefined ? <g /> : <circle data-part="failure" cx={cx} cy={cy} r={4.5} fill={palette.signal} stroke={palette.paper} />;
}

function Tick({ cx, cy }: { cx?: number | undefined; cy?: number | undefined }) {
  return cx === undefined || cy === undefined ? <g /> : <path d={`M${cx} ${cy - 5}v10`} stroke={palette.slate} strokeWidth={1.4} />;
}

const SHARE_OF_HEIGHT = new Map(SHARES.map((share) => [heightOf(share).toFixed(6), `${Number((share * 100).toPrecision(3))} %`]));
const shareWord = (height: number): string => SHARE_OF_HEIGHT.get(height.toFixed(6)) ?? '';

function rowsOf(plot: WearPlot): Record<string, string | number | null>[] {
  return [
    ...plot.failures.map(({ age, share }) => ({ what: 'failure', age, share, low: null, high: null })),
    ...plot.suspensions.map((age) => ({ what: 'not failed', age, share: null, low: null, high: null })),
    ...plot.learned.map(({ age, share, low, high }) => ({ what: 'this version', age, share, low, high })),
    ...plot.rated.map(({ age, share }) => ({ what: 'rating', age, share, low: null, high: null })),
  ];
}
