import type { FaultCourse } from '@lintel/contract';
import { palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { Area, CartesianGrid, ComposedChart, Line, ResponsiveContainer, Tooltip, XAxis, YAxis } from 'recharts';
import { ChartFrame, ChartKeys } from '../common/ChartFrame.js';
import { figures } from './faultWords.js';

type Step = FaultCourse['steps'][number];
const tick = { fill: palette.inkSoft, fontSize: 12 };

const keys = [
  { word: 'mean number of faults of a door', mark: <path d="M0 13h8V8h7V3h7" fill="none" stroke={palette.ink} strokeWidth={2} /> },
  { word: '19 chances in 20', mark: <rect width={22} height={16} fill={palette.iceSoft} /> },
];

/** Mean cumulative function of a pool of doors, with its bounds. */
export default function CourseChart({ course: { steps, doors } }: { course: FaultCourse }) {
  const points = [{ age: 0, atRisk: doors, mean: 0, low: 0, high: 0 }, ...steps].map((step) => ({ ...step, band: [step.low, step.high] }));
  const last = steps.at(-1)!;
  return (
    <ChartFrame
      summary={`Mean number of faults of a door against the days watched: ${figures(last.mean)} after ${Math.round(last.age)} days.`}
      fileName="faults-of-a-door"
      rows={steps.map(({ age, atRisk, mean, low, high }) => ({ days: age, doorsWatched: atRisk, mean, low, high }))}
      legend={<ChartKeys keys={keys} />}
    >
      <ResponsiveContainer width="100%" height={250}>
        <ComposedChart data={points} margin={{ top: 8, right: 18, bottom: 16, left: 0 }} accessibilityLayer={false}>
          <CartesianGrid stroke={palette.lineSoft} vertical={false} />
          <XAxis dataKey="age" type="number" domain={[0, 'dataMax']} tickFormatter={(age: number) => String(Math.round(age))} tick={tick} stroke={palette.slateSoft} minTickGap={24} label={{ value: 'days watched', position: 'insideBottom', offset: -10, fill: palette.slate, fontSize: 12 }} />
          <YAxis tick={tick} stroke={palette.slateSoft} width={40} />
          <Tooltip content={<Tip />} />
          <Area type="stepAfter" dataKey="band" fill={palette.iceSoft} stroke="none" activeDot={false} isAnimationActive={false} />
          <Line type="stepAfter" dataKey="mean" stroke={palette.ink} strokeWidth={2} dot={false} activeDot={false} isAnimationActive={false} />
        </ComposedChart>
      </ResponsiveContainer>
    </ChartFrame>
  );
}

function Tip({ payload }: { payload?: readonly { payload: Step }[] }) {
  const step = payload?.[0]?.payload;
  if (!step) return null;
  return (
    <Box sx={{ background: palette.ink, color: palette.paper, padding: '7px 11px', borderRadius: '3px', fontSize: '0.85rem' }}>
      <div>
        {Math.round(step.age)} days, {step.atRisk} doors watched
      </div>
      <div>
        {figures(step.mean)} faults ({figures(step.low)} to {figures(step.high)})
      </div>
    </Box>
  );
}
