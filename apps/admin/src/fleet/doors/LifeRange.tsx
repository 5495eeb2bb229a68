import type { FittedPart } from '@lintel/contract';
import { conditionColours, daysBetween, formatDate, palette, asCondition } from '@lintel/ui';
import { Box } from '@mui/material';

const spanDays = 3 * 365;

/** When a part is likely to end: early, middle and late date on a line of three years, and in words. */
export function LifeRange({ part, today }: { part: FittedPart; today: string }) {
  const { endsOn10, endsOn50, endsOn90 } = part;
  if (!endsOn10 || !endsOn50 || !endsOn90) return <Box sx={{ color: palette.slate }}>not known</Box>;
  const place = (date: string) => Math.min(1, Math.max(0, daysBetween(today, date) / spanDays)) * 100;
  const [from, middle, to] = [place(endsOn10), place(endsOn50), place(endsOn90)];
  const colour = conditionColours[asCondition(part.condition)];
  return (
    <Box sx={{ minWidth: 220 }}>
      <svg width="100%" height={14} viewBox="0 0 100 14" preserveAspectRatio="none" aria-hidden="true" style={{ display: 'block' }}>
        <rect x={0} y={6} width={100} height={2} fill={palette.lineSoft} />
        <rect x={from} y={3} width={Math.max(0.8, to - from)} height={8} fill={colour} opacity={0.28} />
        <rect x={Math.min(99, middle)} y={0.5} width={1} height={13} fill={colour} />
      </svg>
      <Box sx={{ fontSize: '0.88rem', whiteSpace: 'nowrap' }}>
        {formatDate(endsOn10)} – <strong>{formatDate(endsOn50)}</strong> – {formatDate(endsOn90)}
      </Box>
    </Box>
  );
}
