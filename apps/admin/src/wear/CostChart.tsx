import type { AgeUnit, WearAnalysis } from '@lintel/contract';
import { formatMoney, palette } from '@lintel/ui';
import { CartesianGrid, ComposedChart, Line, ReferenceDot, ReferenceLine, ResponsiveContainer, XAxis, YAxis } from 'recharts';
import { ChartFrame, ChartKeys } from '../common/ChartFrame.js';
import { axisAmount, daysPerTick, evenTicks, tick } from './axes.js';
import { planWords, rateUnit } from './wearWords.js';

/** What parts cost in the long run against the age at which they are replaced, with the age at which that is least. */
export default function CostChart({ renewal: { costs, plan, curve }, unit, fileName }: { renewal: NonNullable<WearAnalysis['renewal']>; unit: AgeUnit; fileName: string }) {
  const { per, word } = rateUnit(unit);
  const { currency } = costs;
  const points = curve.map(({ age, costRate }) => ({ age, rate: costRate * per }));
  const toFailure = plan.toFailure * per;
  // Replacing new parts costs without bound: the curve's beginning would press all the rest flat.
  const top = Math.max(toFailure, (plan.costRate ?? plan.toFailure) * per) * 2;
  const keys = [
    { word: `cost per ${word.replace(/^a /, '')}`, mark: <path d="M0 3q6 12 22 6" fill="none" stroke={palette.ink} strokeWidth={2.2} /> },
    { word: 'run to failure', mark: <path d="M0 8h22" stroke={palette.signal} strokeWidth={2} strokeDasharray="5 3" /> },
    ...(plan.age === null ? [] : [{ word: 'costs least', mark: <circle cx={11} cy={8} r={5} fill={palette.ice} /> }]),
  ];
  return (
    <ChartFrame summary={planWords(plan, unit, currency)} fileName={fileName} rows={points.map(({ age, rate }) => ({ age, [`minorUnitsPer${per}`]: rate }))} legend={<ChartKeys keys={keys} />}>
      <ResponsiveContainer width="100%" height={260}>
        <ComposedChart data={points} margin={{ top: 8, right: 20, bottom: 4, left: 4 }} accessibilityLayer={false}>
          <CartesianGrid stroke={palette.lineSoft} vertical={false} />
          <XAxis dataKey="age" type="number" domain={[0, 'dataMax']} ticks={evenTicks(curve.at(-1)?.age ?? 1, daysPerTick(unit))} tickFormatter={(age: number) => axisAmount(age, unit)} tick={tick} stroke={palette.slateSoft} minTickGap={24} />
          <YAxis type="number" domain={[0, top]} allowDataOverflow ticks={evenTicks(top)} tickFormatter={(rate: number) => formatMoney(rate, currency)} tick={tick} stroke={palette.slateSoft} width={96} />
          <ReferenceLine y={toFailure} stroke={palette.signal} strokeDasharray="5 3" strokeWidth={1.6} />
          <Line dataKey="rate" stroke={palette.ink} strokeWidth={2.2} dot={false} activeDot={false} isAnimationActive={false} />
          {plan.age !== null && plan.costRate !== null ? <ReferenceLine x={plan.age} stroke={palette.ice} strokeDasharray="3 3" /> : null}
          {plan.age !== null && plan.costRate !== null ? <ReferenceDot x={plan.age} y={plan.costRate * per} r={6} fill={palette.ice} stroke={palette.paper} /> : null}
        </ComposedChart>
      </ResponsiveContainer>
    </ChartFrame>
  );
}
