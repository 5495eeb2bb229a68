import type { ChainLifeView } from '@lintel/contract';
import { palette } from '@lintel/ui';
import { CartesianGrid, ComposedChart, Line, ReferenceLine, ResponsiveContainer, Scatter, XAxis, YAxis } from 'recharts';
import { ChartFrame, ChartKeys } from '../common/ChartFrame.js';
import { axisAmount, evenTicks, tick } from './axes.js';
import { chainSentence } from './handbookWords.js';

const keys = [
  { word: 'measured', mark: <circle cx={11} cy={8} r={4.5} fill={palette.ink} /> },
  { word: 'fitted line', mark: <path d="M0 12 22 4" stroke={palette.ice} strokeWidth={2.2} /> },
  { word: 'replace at', mark: <path d="M0 8h22" stroke={palette.signal} strokeWidth={2} strokeDasharray="6 3" /> },
  { word: 'meets it there, 95 chances in 100', mark: <path d="M1 8h20M1 4v8M21 4v8" stroke={palette.ice} strokeWidth={2.5} /> },
];

/** Elongation over the cycles that the chain has run: what was measured, the line through it, and where that meets the limit. */
export default function ChainChart({ chain, fileName }: { chain: ChainLifeView; fileName: string }) {
  const { line, limitPercent } = chain;
  const points = chain.measurements.flatMap(({ ageCycles, elongationPercent }) => (ageCycles === null ? [] : [{ cycles: ageCycles, measured: elongationPercent }]));
  // A late end far beyond the line's own crossing would press all the rest flat.
  const meets = line === null ? 0 : Math.min(line.high ?? Infinity, 2.5 * line.cyclesAtLimit);
  const until = 1.05 * Math.max(1, meets, ...points.map(({ cycles }) => cycles));
  const at = (cycles: number) => (line === null ? 0 : line.interceptPercent + (line.percentPer100kCycles * cycles) / 1e5);
  const lowest = Math.min(0, ...points.map(({ measured }) => measured));
  const top = 1.15 * Math.max(limitPercent, ...points.map(({ measured }) => measured));
  const interval = line === null ? [] : [{ cycles: Math.min(line.low, until), limit: limitPercent }, { cycles: Math.min(line.high ?? until, until), limit: limitPercent }];
  const still = { isAnimationActive: false, activeDot: false } as const;
  return (
    <ChartFrame summary={chainSentence(chain)} fileName={fileName} rows={points} legend={<ChartKeys keys={line === null ? [keys[0]!, keys[2]!] : keys} />}>
      <ResponsiveContainer width="100%" height={240}>
        <ComposedChart margin={{ top: 8, right: 20, bottom: 4, left: 4 }} accessibilityLayer={false}>
          <CartesianGrid stroke={palette.lineSoft} vertical={false} />
          <XAxis dataKey="cycles" type="number" domain={[0, until]} allowDataOverflow ticks={evenTicks(until)} tickFormatter={(cycles: number) => axisAmount(cycles, 'cycles')} tick={tick} stroke={palette.slateSoft} minTickGap={24} />
          <YAxis type="number" domain={[lowest, top]} allowDataOverflow ticks={evenTicks(top)} tickFormatter={(percent: number) => `${Number(percent.toFixed(2))} %`} tick={tick} stroke={palette.slateSoft} width={64} />
          <ReferenceLine y={limitPercent} stroke={palette.signal} strokeWidth={1.8} strokeDasharray="6 3" />
          {line ? <Line {...still} data={[0, until].map((cycles) => ({ cycles, fitted: at(cycles) }))} dataKey="fitted" stroke={palette.ice} strokeWidth={2} dot={false} /> : null}
          {line ? <Line {...still} data={interval} dataKey="limit" stroke={palette.ice} strokeWidth={4} dot={false} /> : null}
          <Scatter data={points} dataKey="measured" fill={palette.ink} isAnimationActive={false} />
        </ComposedChart>
      </ResponsiveContainer>
    </ChartFrame>
  );
}
