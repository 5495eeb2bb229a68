import type { FaultRate } from '@lintel/contract';
import { formatChance, palette } from '@lintel/ui';
import { Box, useMediaQuery } from '@mui/material';
import type { Theme } from '@mui/material';
import { Bar, CartesianGrid, ComposedChart, LabelList, Line, ResponsiveContainer, Tooltip, XAxis, YAxis } from 'recharts';
import { ChartFrame, ChartKeys } from '../common/ChartFrame.js';
import { rateWords } from './faultWords.js';

export interface ParetoBarShown {
  key: string;
  label: string;
  count: number;
  share: number;
  cumulativeShare: number;
  rate: FaultRate;
}

const tick = { fill: palette.inkSoft, fontSize: 12 };
const rowHeight = 30;
const cut = (most: number) => (label: string): string => (label.length > most ? `${label.slice(0, most - 1).trimEnd()}…` : label);
const short = cut(27);
const shortest = cut(14);

const keys = [
  { word: 'faults', mark: <rect y={3} width={22} height={10} fill={palette.ink} /> },
  { word: 'share of all down to here', mark: <path d="M0 8h22M11 8m-3 0a3 3 0 1 0 6 0 3 3 0 1 0-6 0" fill={palette.dusk} stroke={palette.dusk} strokeWidth={2} /> },
];

/** Bars by size, the longest on top, with the share of all faults that they make up down to each. */
export default function ParetoChart({ bars, grouped, fileName }: { bars: readonly ParetoBarShown[]; grouped: string; fileName: string }) {
  const first = bars[0]!;
  const phone = useMediaQuery((theme: Theme) => theme.breakpoints.down('sm'));
  const rows = bars.map(({ label, count, share, cumulativeShare, rate }) => ({ label, count, share, cumulativeShare, per1000Cycles: rate?.per1000 ?? null }));
  return (
    <ChartFrame summary={`Faults ${grouped}: most often ${first.label}, ${first.count} (${formatChance(first.share)} of all).`} fileName={fileName} rows={rows} legend={<ChartKeys keys={keys} />}>
      <ResponsiveContainer width="100%" height={bars.length * rowHeight + 58}>
        <ComposedChart data={[...bars]} layout="vertical" margin={{ top: 4, right: 34, bottom: 0, left: 4 }} accessibilityLayer={false}>
          <CartesianGrid stroke={palette.lineSoft} horizontal={false} />
          <YAxis type="category" dataKey="label" tickFormatter={phone ? shortest : short} tick={tick} stroke={palette.slateSoft} width={phone ? 104 : 206} interval={0} />
          <XAxis xAxisId="count" type="number" domain={[0, 'auto']} allowDecimals={false} tick={tick} stroke={palette.slateSoft} />
          <XAxis xAxisId="share" type="number" domain={[0, 1]} ticks={[0, 0.25, 0.5, 0.75, 1]} orientation="top" tickFormatter={(share: number) => `${Math.round(share * 100)} %`} tick={tick} stroke={palette.slateSoft} />
          <Tooltip cursor={{ fill: palette.frostDeep }} content={<Tip />} />
          <Bar xAxisId="count" dataKey="count" fill={palette.ink} barSize={16} isAnimationActive={false}>
            <LabelList dataKey="count" position="right" fill={palette.ink} fontSize={12} />
          </Bar>
          <Line xAxisId="share" dataKey="cumulativeShare" stroke={palette.dusk} strokeWidth={2} dot={{ r: 3, fill: palette.dusk, strokeWidth: 0 }} activeDot={false} isAnimationActive={false} />
        </ComposedChart>
      </ResponsiveContainer>
    </ChartFrame>
  );
}

function Tip({ payload }: { payload?: readonly { payload: ParetoBarShown }[] }) {
  const bar = payload?.[0]?.payload;
  if (!bar) return null;
  return (
    <Box sx={{ background: palette.ink, color: palette.paper, padding: '7px 11px', borderRadius: '3px', fontSize: '0.85rem' }}>
      <div>{bar.label}</div>
      <div>
        {bar.count}, {formatChance(bar.share)} of all
      </div>
      <div>per 1,000 cycles: {rateWords(bar.rate)}</div>
    </Box>
  );
}
