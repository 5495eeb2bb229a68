import type { DoorFaults } from '@lintel/contract';
import { count, formatAbout, formatInstant, formatWhole, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { useMemo } from 'react';
import type { ReactNode } from 'react';
import { CartesianGrid, ComposedChart, Line, ResponsiveContainer, Scatter, Tooltip, XAxis, YAxis } from 'recharts';
import { ChartFrame, ChartKeys } from '../common/ChartFrame.js';
import { trendWords } from './faultWords.js';
import { nowWord, timelineOf } from './timelineData.js';
import type { TimelinePoint } from './timelineData.js';

const tick = { fill: palette.inkSoft, fontSize: 12 };
const month = new Intl.DateTimeFormat('en-GB', { month: 'short', year: '2-digit', timeZone: 'UTC' });
const wrench = 'M0 -6 6 0 0 6 -6 0Z';

const keys = [
  { word: 'faults so far', mark: <path d="M0 14h6V9h8V4h8" fill="none" stroke={palette.ink} strokeWidth={2} /> },
  { word: 'part changed', mark: <path d={wrench} transform="translate(11 8)" fill={palette.paper} stroke={palette.ice} strokeWidth={2.2} /> },
];

/** Faults of one door counted up over its counter, with the parts changed in between. */
export default function TimelineChart({ faults, timeZone, fileName }: { faults: DoorFaults; timeZone: string; fileName: string }) {
  const { unit, points, marks } = useMemo(() => timelineOf(faults), [faults]);
  const label = unit === 'cycles' ? 'lifetime cycles' : 'time';
  const rows = [...faults.faults.map(({ at, cycles, code, codeName }) => ({ at, cycles, what: `${code} ${codeName}` })), ...faults.repairs.map(({ at, cycles, partName }) => ({ at, cycles, what: `${partName} changed` }))];
  rows.sort((a, b) => (a.at < b.at ? -1 : 1));
  return (
    <ChartFrame summary={`${count(faults.faults.length, 'fault')} over ${label}: ${trendWords[faults.trend.verdict]}.`} fileName={fileName} rows={rows} legend={<ChartKeys keys={keys} />}>
      <ResponsiveContainer width="100%" height={240}>
        <ComposedChart data={points} margin={{ top: 8, right: 18, bottom: 16, left: 0 }} accessibilityLayer={false}>
          <CartesianGrid stroke={palette.lineSoft} vertical={false} />
          <XAxis dataKey="x" type="number" domain={['dataMin', 'dataMax']} tickFormatter={(x: number) => (unit === 'cycles' ? formatAbout(x) : month.format(x))} tick={tick} stroke={palette.slateSoft} minTickGap={30} label={{ value: label, position: 'insideBottom', offset: -10, fill: palette.slate, fontSize: 12 }} />
          <YAxis allowDecimals={false} tick={tick} stroke={palette.slateSoft} width={36} domain={[0, 'dataMax']} />
          <Tooltip content={<Tip timeZone={timeZone} cycles={unit === 'cycles'} />} />
          <Line type="stepAfter" dataKey="faults" stroke={palette.ink} strokeWidth={2} dot={FaultDot} activeDot={false} isAnimationActive={false} />
          {/* Without data of its own it would take the chart's. */}
          {marks.length > 0 ? <Scatter data={marks} dataKey="repairs" shape={RepairShape} isAnimationActive={false} /> : null}
        </ComposedChart>
      </ResponsiveContainer>
    </ChartFrame>
  );
}

/** One fault; the line's end is now, and no fault. */
function FaultDot({ cx, cy, payload }: { cx?: number | undefined; cy?: number | undefined; payload?: TimelinePoint | undefined }) {
  if (cx === undefined || cy === undefined || payload === undefined || payload.what === nowWord) return <g key="now" />;
  return <circle key={`${payload.at}${payload.faults}`} cx={cx} cy={cy} r={3.4} fill={palette.ink} />;
}

function RepairShape({ cx, cy }: { cx?: number | undefined; cy?: number | undefined }): ReactNode {
  if (cx === undefined || cy === undefined) return <g />;
  return <path d={wrench} transform={`translate(${cx} ${cy})`} fill={palette.paper} stroke={palette.ice} strokeWidth={2.2} />;
}

function Tip({ payload, timeZone, cycles }: { payload?: readonly { payload: TimelinePoint }[]; timeZone: string; cycles: boolean }) {
  const point = payload?.[0]?.payload;
  if (!point) return null;
  return (
    <Box sx={{ background: palette.ink, color: palette.paper, padding: '7px 11px', borderRadius: '3px', fontSize: '0.85rem' }}>
      <div>{point.what}</div>
      <div>
        {formatInstant(point.at, timeZone)}
        {cycles ? `, ${formatWhole(point.x)} cycles` : ''}
      </div>
    </Box>
  );
}
