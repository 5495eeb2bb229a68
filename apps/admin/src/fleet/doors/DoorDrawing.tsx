import type { Door, FittedPart, Site } from '@lintel/contract';
import { ConditionMark, DoorElevation, formatInstant, palette } from '@lintel/ui';
import { Box, Typography } from '@mui/material';
import { useToday } from '../../common/now.js';
import { Panel } from '../../common/Page.js';
import { partKindWords } from '../../common/words.js';
import { LifeDensity } from './LifeDensity.js';
import { endDays } from './lifeEnds.js';
import { endWord, spanDays } from './LifeRange.js';
import { remainingWords } from './life.js';
import type { DoorPosition } from './useDoor.js';

interface DoorDrawingProps {
  door: Door;
  site: Site;
  positions: readonly DoorPosition[];
  selected: string | null;
  onSelect: (id: string) => void;
}

/** The drawn door; the position that was chosen is told about below it. */
export function DoorDrawing({ door, site, positions, selected, onSelect }: DoorDrawingProps) {
  const today = useToday();
  const chosen = positions.find((item) => item.id === selected);
  return (
    <Panel title="Front elevation" note="Choose a position to read about it. The line in a mark is the next three years; its band, when the part likely ends">
      <DoorElevation
        name={`door ${door.name}`}
        kind={door.kind}
        heated={door.heated}
        widthMm={door.widthMm}
        heightMm={door.heightMm}
        units={site.units}
        state={door.state}
        positions={positions.map(({ position, part }) => ({
          id: position.id,
          name: position.name,
          drawnX: position.drawnX,
          drawnY: position.drawnY,
          condition: part ? part.condition : null,
          life: part ? lifeOf(part, today) : undefined,
          detail: part?.endsOn50 ? `likely end ${endWord(part.endsOn50, today)}` : undefined,
        }))}
        selectedId={selected}
        onSelect={onSelect}
      />
      <Box aria-live="polite" sx={{ marginTop: 1.2, minHeight: '3.4em' }}>
        {chosen ? <Chosen item={chosen} door={door} today={today} /> : <Box sx={{ color: palette.slate }}>No position chosen.</Box>}
      </Box>
    </Panel>
  );
}

/** The three dates of its end as shares of the span that bars of remaining life have. */
function lifeOf(part: FittedPart, today: string) {
  const ends = endDays(part, today);
  if (ends === null) return undefined;
  const [early, middle, late] = ends.map((days) => days / spanDays) as [number, number, number];
  return { early, middle, late };
}

function Chosen({ item: { position, part }, door, today }: { item: DoorPosition; door: Door; today: string }) {
  return (
    <Box>
      <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: '2px 14px', alignItems: 'center' }}>
        <Typography variant="h3">{position.name}</Typography>
        {part ? <ConditionMark condition={part.condition} /> : <span>no part recorded</span>}
        <Box component="span" sx={{ color: palette.slate }}>
          {[position.name === partKindWords[position.kind] ? '' : partKindWords[position.kind], position.safetyDevice ? 'safety device' : ''].filter(Boolean).join(', ')}
        </Box>
      </Box>
      {part ? (
        <Box>
          Fitted {formatInstant(part.fittedAt, door.timeZone)}
          {part.serial ? `, serial ${part.serial}` : ''}. {remainingWords(part)}
          <LifeDensity part={part} door={door} today={today} />
        </Box>
      ) : (
        <Box>Record the part that is fitted here, so that its end can be foreseen.</Box>
      )}
    </Box>
  );
}
