import type { Door, FittedPart } from '@lintel/contract';
import { asCondition, conditionColours, daysBetween, formatChance, formatDate, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { chanceWithin, densitySteps, endDays } from './lifeEnds.js';
import { endWord } from './LifeRange.js';

const height = 62;
const foot = 46;
/** To the next visit, where nothing is due. Common practice, no source. */
const usualDays = 182;
const leastDays = 30;

interface LifeDensityProps {
  part: FittedPart;
  door: Pick<Door, 'nextDueOn'>;
  today: string;
}

/** The distribution of a part's end: steps whose areas are chances, its three dates, and how likely it comes before the next visit. */
export function LifeDensity({ part, door, today }: LifeDensityProps) {
  const ends = endDays(part, today);
  if (ends === null) return null;
  const [early, middle, late] = ends;
  const visitDays = door.nextDueOn === null ? usualDays : daysBetween(today, door.nextDueOn);
  const until = Math.max(leastDays, 1.12 * late);
  const place = (days: number) => Math.min(100, (100 * Math.max(0, days)) / until);
  const steps = densitySteps(part, today).filter(({ from, to }) => to > from);
  const tallest = Math.max(...steps.map(({ from, to, chance }) => chance / (to - from)));
  const colour = conditionColours[asCondition(part.condition)];
  const marks = [early, middle, late].map(place);
  return (
    <Box sx={{ marginTop: 0.8 }}>
      <svg width="100%" height={height} viewBox={`0 0 100 ${height}`} preserveAspectRatio="none" role="img" aria-label={`Likely end: early ${endWord(part.endsOn10!, today)}, middle ${endWord(part.endsOn50!, today)}, late ${endWord(part.endsOn90!, today)}`} style={{ display: 'block' }}>
        {steps.map(({ from, to, chance }) => {
          const tall = (foot - 6) * (chance / (to - from) / tallest);
          return <rect key={chance + from} x={place(from)} width={Math.max(0.4, place(to) - place(from))} y={foot - tall} height={tall} fill={colour} opacity={from === 0 ? 0.16 : 0.34} />;
        })}
        <path d={`M0 ${foot}H100`} stroke={palette.slateSoft} vectorEffect="non-scaling-stroke" />
        {marks.map((x, index) => (
          <path key={index} d={`M${x} ${index === 1 ? 4 : foot - 8}V${foot + 5}`} stroke={colour} strokeWidth={index === 1 ? 2.5 : 1.5} vectorEffect="non-scaling-stroke" />
        ))}
        {visitDays > 0 && visitDays < until ? <path d={`M${place(visitDays)} 4V${foot + 14}`} stroke={palette.ink} strokeWidth={1.5} strokeDasharray="4 3" vectorEffect="non-scaling-stroke" /> : null}
      </svg>
      <Box sx={{ display: 'flex', flexWrap: 'wrap', justifyContent: 'space-between', gap: '0 14px', fontSize: '0.88rem' }}>
        <span>1 in 10 by {endWord(part.endsOn10!, today)}</span>
        <strong>even odds by {endWord(part.endsOn50!, today)}</strong>
        <span>9 in 10 by {endWord(part.endsOn90!, today)}</span>
      </Box>
      <Box sx={{ color: palette.inkSoft }}>{visitSentence(part, door.nextDueOn, visitDays, today)}</Box>
    </Box>
  );
}

function visitSentence(part: FittedPart, nextDueOn: string | null, visitDays: number, today: string): string {
  if (nextDueOn !== null && visitDays <= 0) {
    return part.chance30 === null ? '' : `The next visit is due now; chance that it ends within 30 days ${formatChance(part.chance30)}.`;
  }
  const chance = chanceWithin(part, visitDays, today);
  if (chance === null) return '';
  const until = nextDueOn === null ? `within ${usualDays} days (nothing is due)` : `before the next visit is due on ${formatDate(nextDueOn)} (dashed)`;
  return `Chance that it ends ${until}: ${formatChance(chance)}.`;
}
