import type { FittedPart } from '@lintel/contract';
import { conditionColours, daysBetween, formatDate, palette, asCondition } from '@lintel/ui';
import { Box } from '@mui/material';

const nearDays = 5 * 365;
const farDays = 50 * 365;

/** A date as exact as it deserves: the day within five years, the year within fifty, and then no more than that. */
export function endWord(date: string, today: string): string {
  const days = daysBetween(today, date);
  if (days > farDays) return 'in over 50 years';
  return days > nearDays ? date.slice(0, 4) : formatDate(date);
}

/** Span of the bars of remaining life, here and on the drawing. */
export const spanDays = 3 * 365;

/** When a part is likely to end: early, middle and late date on a line of three years, and in words. */
export function LifeRange({ part, today }: { part: FittedPart; today: string }) {
  const { endsOn10, endsOn50, endsOn90 } = part;
  if (!endsOn10 || !endsOn50 || !endsOn90) return <Box sx={{ color: palette.slate }}>not known</Box>;
  const place = (date: string) => Math.min(1, Math.max(0, daysBetween(today, date) / spanDays)) * 100;
  const [from, middle, to] = [place(endsOn10), place(endsOn50), place(endsOn90)];
  const colour = conditionColours[asCondition(part.condition)];
  return (
    <Box sx={{ minWidth: { xs: 0, sm: 220 } }}>
      <svg width="100%" height={14} viewBox="0 0 100 14" preserveAspectRatio="none" aria-hidden="true" style={{ display: 'block' }}>
        <rect x={0} y={6} width={100} height={2} fill={palette.lineSoft} />
        <rect x={from} y={3} width={Math.max(0.8, to - from)} height={8} fill={colour} opacity={0.28} />
        <rect x={Math.min(99, middle)} y={0.5} width={1} height={13} fill={colour} />
      </svg>
      <Box sx={{ fontSize: '0.88rem', whiteSpace: { sm: 'nowrap' } }}>
        {endWord(endsOn10, today)} – <strong>{endWord(endsOn50, today)}</strong> – {endWord(endsOn90, today)}
      </Box>
    </Box>
  );
}
