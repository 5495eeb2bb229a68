import type { DoorDuty } from '@lintel/contract';
import { VerdictShape, asVerdict, formatInstant, formatWhole, palette, verdictWords } from '@lintel/ui';
import { Box } from '@mui/material';
import { useMemo } from 'react';
import type { ReactNode } from 'react';
import { Area, CartesianGrid, ComposedChart, Line, ReferenceLine, ResponsiveContainer, Scatter, Tooltip, XAxis, YAxis } from 'recharts';
import { chartMarks, chartPoints, monthTicks } from './chartData.js';
import type { ChartMark } from './chartData.js';

interface CounterChartProps {
  duty: DoorDuty;
  /** Rollovers and new counts. */
  turns: readonly { at: string; verdict: string }[];
  timeZone: string;
}

const month = new Intl.DateTimeFormat('en-GB', { month: 'short', year: '2-digit' });
const tick = { fill: palette.inkSoft, fontSize: 12 };

/** The counter so far as a line, the forecast as a fan of four chances in five, marks where a reading was no plain one. */
export default function CounterChart({ duty, turns, timeZone }: CounterChartProps) {
  const points = useMemo(() => chartPoints(duty), [duty]);
  const marks = useMemo(() => chartMarks(duty, turns), [duty, turns]);
  const ticks = useMemo(() => monthTicks(points[0]?.at ?? 0, points.at(-1)?.at ?? 0, 10), [points]);
  const last = duty.forecast.at(-1);
  const summary = `Lifetime cycles over time: ${duty.history.length} readings${last ? `, and a forecast to ${last.daysAhead} days ahead` : ''}.`;
  return (
    <Box role="img" aria-label={summary}>
      <Legend marks={marks} />
      <ResponsiveContainer width="100%" height={300}>
        <ComposedChart data={points} margin={{ top: 10, right: 18, bottom: 0, left: 8 }} accessibilityLayer={false}>
          <CartesianGrid stroke={palette.lineSoft} vertical={false} />
          <XAxis dataKey="at" type="number" scale="time" domain={['dataMin', 'dataMax']} tickFormatter={(at: number) => month.format(at)} ticks={ticks} tick={tick} stroke={palette.slateSoft} minTickGap={24} />
          <YAxis tickFormatter={(cycles: number) => formatWhole(cycles)} tick={tick} stroke={palette.slateSoft} width={82} domain={['auto', 'auto']} />
          <Tooltip content={<Tip timeZone={timeZone} />} />
          <Area dataKey="fan" stroke="none" fill={palette.iceSoft} fillOpacity={1} isAnimationActive={false} activeDot={false} />
          <Line dataKey="middle" stroke={palette.ice} strokeWidth={2} strokeDasharray="6 4" dot={false} isAnimationActive={false} />
          <Line dataKey="cycles" stroke={palette.ink} strokeWidth={2} dot={points.length < 60 ? { r: 2.4, fill: palette.ink, strokeWidth: 0 } : false} isAnimationActive={false} />
          {duty.model ? <ReferenceLine x={duty.model.asOf} stroke={palette.slate} strokeDasharray="3 3" label={{ value: 'computed', position: 'insideTopLeft', fill: palette.slate, fontSize: 12 }} /> : null}
          {/* Without data of its own it would take the chart's. */}
          {marks.length > 0 ? <Scatter data={marks} dataKey="cycles" shape={MarkShape} isAnimationActive={false} /> : null}
        </ComposedChart>
      </ResponsiveContainer>
    </Box>
  );
}

function MarkShape({ cx, cy, payload }: { cx?: number | undefined; cy?: number | undefined; payload?: ChartMark | undefined }): ReactNode {
  if (cx === undefined || cy === undefined || !payload) return <g />;
  return (
    <g transform={`translate(${cx - 8} ${cy - 8})`}>
      <circle cx={8} cy={8} r={9.5} fill={palette.paper} opacity={0.85} />
      <VerdictShape verdict={asVerdict(payload.verdict)} />
    </g>
  );
}

interface TipPoint {
  at: number;
  cycles?: number;
  middle?: number;
  fan?: [number, number];
  verdict?: string;
  value?: number | null;
}

/** The chart itself gives it the points under the pointer. */
function Tip({ payload, timeZone }: { payload?: readonly { payload: TipPoint }[]; timeZone: string }) {
  const point = payload?.[0]?.payload;
  if (!point) return null;
  return (
    <Box sx={{ background: palette.ink, color: palette.paper, padding: '7px 11px', borderRadius: '3px', fontSize: '0.85rem' }}>
      <div>{formatInstant(point.at, timeZone)}</div>
      {point.verdict ? <div>{verdictWords[asVerdict(point.verdict)]}{point.value == null ? '' : `: it showed ${formatWhole(point.value)}`}</div> : null}
      {point.cycles !== undefined && !point.verdict ? <div>{formatWhole(point.cycles)} cycles</div> : null}
      {point.fan && point.middle !== undefined ? (
        <div>
          about {formatWhole(point.middle)} ({formatWhole(point.fan[0])} to {formatWhole(point.fan[1])})
        </div>
      ) : null}
    </Box>
  );
}

function Legend({ marks }: { marks: readonly ChartMark[] }) {
  const seen = [...new Set(marks.map(({ verdict }) => asVerdict(verdict)))];
  return (
    <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: '3px 18px', color: palette.inkSoft, fontSize: '0.88rem' }}>
      <Key word="readings"><path d="M0 8h16" stroke={palette.ink} strokeWidth={2.5} /></Key>
      <Key word="forecast, most likely"><path d="M0 8h16" stroke={palette.ice} strokeWidth={2.5} strokeDasharray="5 3" /></Key>
      <Key word="four chances in five"><rect width={16} height={16} fill={palette.iceSoft} /></Key>
      {seen.map((verdict) => (
        <Key key={verdict} word={verdictWords[verdict]}><VerdictShape verdict={verdict} /></Key>
      ))}
    </Box>
  );
}

function Key({ word, children }: { word: string; children: ReactNode }) {
  return (
    <Box component="span" sx={{ display: 'inline-flex', alignItems: 'center', gap: 0.8 }}>
      <svg width={16} height={16} viewBox="0 0 16 16">{children}</svg>
      {word}
    </Box>
  );
}
