import type { Door, FittedPart, Site } from '@lintel/contract';
import { ConditionMark, SafetyMark, formatChance, formatDate, palette } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { useMay } from '../../access/hooks.js';
import { Nothing } from '../../common/faces.js';
import { Panel } from '../../common/Page.js';
import { useToday } from '../../common/now.js';
import { RecordTable } from '../../common/RecordTable.js';
import type { Column } from '../../common/RecordTable.js';
import { useDialog } from '../../common/useDialog.js';
import { ChangePartDialog } from './ChangePartDialog.js';
import { LifeRange } from './LifeRange.js';
import { lifeAmount } from './life.js';
import type { DoorPosition } from './useDoor.js';

const none = <Box sx={{ color: palette.slate }}>no part recorded</Box>;

function Fitted({ part }: { part: FittedPart }) {
  return (
    <Box sx={{ whiteSpace: 'nowrap' }}>
      {formatDate(part.fittedAt)}
      {part.serial ? <Box sx={{ color: palette.slate, fontSize: '0.88rem' }}>{part.serial}</Box> : null}
    </Box>
  );
}

function columns(today: string): Column<DoorPosition>[] {
  return [
    {
      key: 'position',
      label: 'Position',
      cell: ({ position }) => (
        <>
          {position.name}
          {position.safetyDevice ? (
            <Box sx={{ fontWeight: 450, fontSize: '0.88rem' }}>
              <SafetyMark word="safety device" />
            </Box>
          ) : null}
        </>
      ),
    },
    { key: 'condition', label: 'Condition', cell: ({ part }) => (part ? <ConditionMark condition={part.condition} /> : none) },
    { key: 'fitted', label: 'Fitted', wide: true, cell: ({ part }) => (part ? <Fitted part={part} /> : '–') },
    { key: 'age', label: 'Age', align: 'right', cell: ({ part }) => (part && part.age !== null ? lifeAmount(part.age, part.unit) : '–') },
    {
      key: 'remaining',
      label: 'Remaining life',
      align: 'right',
      cell: ({ part }) =>
        part && part.remaining50 !== null && part.remaining10 !== null && part.remaining90 !== null ? (
          <>
            {lifeAmount(part.remaining50, part.unit)}
            <Box sx={{ color: palette.slate, fontSize: '0.88rem', whiteSpace: 'nowrap' }}>
              {lifeAmount(part.remaining10, part.unit).replace(/ \w+$/, '')} – {lifeAmount(part.remaining90, part.unit)}
            </Box>
          </>
        ) : (
          '–'
        ),
    },
    { key: 'ends', label: 'Likely end: early – middle – late', cell: ({ part }) => (part ? <LifeRange part={part} today={today} /> : '–') },
    { key: 'chance', label: 'Fails in 90 days', align: 'right', wide: true, cell: ({ part }) => (part && part.chance90 !== null ? formatChance(part.chance90) : '–') },
  ];
}

interface PositionsPanelProps {
  door: Door;
  site: Site;
  positions: readonly DoorPosition[];
  selected: string | null;
}

/** Every position of the door: what is fitted, how much of its life is left, when it is likely to end. */
export function PositionsPanel({ door, site, positions, selected }: PositionsPanelProps) {
  const mayChange = useMay('write', 'fitted-parts') && door.state !== 'decommissioned';
  const { subject, open, close } = useDialog<DoorPosition>();
  const today = useToday();
  const ordered = selected ? [...positions].sort((a, b) => Number(b.id === selected) - Number(a.id === selected)) : positions;
  return (
    <Panel title="Positions" note="P10, P50 and P90 of each part’s end; the bar spans three years" flush>
      {positions.length === 0 ? (
        <Nothing title="This door’s type has no positions">Add them on the page of the door type.</Nothing>
      ) : (
        <RecordTable<DoorPosition>
          label="Positions of the door"
          columns={columns(today)}
          records={ordered}
          urgent={({ part }) => part?.condition === 'worn'}
          renderDeeds={
            mayChange
              ? (item) => (
                  <Button size="small" onClick={() => open(item)} aria-label={`${item.part ? 'Change part' : 'Record part'}: ${item.position.name}`}>
                    {item.part ? 'Change part' : 'Record part'}
                  </Button>
                )
              : undefined
          }
        />
      )}
      {subject ? <ChangePartDialog door={door} site={site} item={subject} onClose={close} /> : null}
    </Panel>
  );
}
