import type { DoorType, Plan, Position } from '@lintel/contract';
import { DoorElevation, SafetyMark, count, formatLength, formatWhole, palette } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { useState } from 'react';
import { useGetList, useGetOne } from 'react-admin';
import { Link, useParams } from 'react-router';
import { useMay } from '../../access/hooks.js';
import { Nothing, Trouble, Waiting } from '../../common/faces.js';
import { listLink } from '../../common/links.js';
import { Columns, Facts, PageHead, Panel, Stack } from '../../common/Page.js';
import { RecordList } from '../../common/RecordList.js';
import { RecordTable } from '../../common/RecordTable.js';
import type { Column } from '../../common/RecordTable.js';
import { kindWords, partKindWords } from '../../common/words.js';
import { costWords, ratingWords } from './ratingWords.js';

/** One door type: its positions on the drawing, their life ratings, its plans. */
export default function DoorTypePage() {
  const { id = '' } = useParams();
  const { data: type, error, isPending, refetch } = useGetOne<DoorType>('door-types', { id });
  const mayChange = useMay('write', 'door-types');
  if (error) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending || !type) return <Waiting what="the door type" />;
  return (
    <>
      <PageHead
        title={type.name}
        up={{ to: '/door-types', word: 'Door types' }}
        facts={
          <>
            <span>{kindWords[type.kind]}</span>
            <Link to={listLink('doors', { doorTypeId: type.id })}>{count(type.doors, 'door')}</Link>
          </>
        }
        actions={
          mayChange ? (
            <>
              <Button component={Link} to={`/door-types/${type.id}`} variant="outlined">
                Change
              </Button>
              <Button component={Link} to={`/positions/create?doorTypeId=${type.id}`} variant="contained">
                Add a position
              </Button>
            </>
          ) : null
        }
      />
      <Body type={type} mayChange={mayChange} />
    </>
  );
}

function Body({ type, mayChange }: { type: DoorType; mayChange: boolean }) {
  const [selected, setSelected] = useState<string | null>(null);
  const { data: positions = [], error, isPending, refetch } = useGetList<Position>('positions', {
    filter: { doorTypeId: type.id, archived: 'false' },
    pagination: { page: 1, perPage: 100 },
    sort: { field: 'ordinal', order: 'ASC' },
  });
  if (error) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending) return <Waiting what="its positions" />;
  return (
    <Stack>
      <Columns widths="minmax(0, 1.35fr) minmax(0, 1fr)">
        <Panel title="Positions on the drawing" note="Choose one to find it in the table">
          <DoorElevation
            name={type.name}
            kind={type.kind}
            heated={type.heated}
            widthMm={type.widthMm}
            heightMm={type.heightMm}
            units="metric"
            positions={positions.map((position) => ({ id: position.id, name: position.name, drawnX: position.drawnX, drawnY: position.drawnY, condition: null, word: String(position.ordinal) }))}
            selectedId={selected}
            onSelect={setSelected}
          />
        </Panel>
        <Stack>
          <Panel title="About the type">
            <Facts rows={typeFacts(type)} />
          </Panel>
          <Plans type={type} mayChange={mayChange} />
        </Stack>
      </Columns>
      <Panel title="Positions" flush>
        {positions.length === 0 ? (
          <Nothing title="No positions yet">A position is the place of one wearing part or safety device on the door.</Nothing>
        ) : (
          <RecordTable<Position>
            label="Positions of the door type"
            columns={columns}
            records={selected ? [...positions].sort((a, b) => Number(b.id === selected) - Number(a.id === selected)) : positions}
            href={mayChange ? (position) => `/positions/${position.id}` : undefined}
          />
        )}
      </Panel>
    </Stack>
  );
}

const columns: readonly Column<Position>[] = [
  { key: 'name', label: 'Position', cell: (position) => `${position.ordinal}  ${position.name}` },
  { key: 'kind', label: 'Kind of part', cell: (position) => partKindWords[position.kind] },
  { key: 'safety', label: 'Safety device', cell: (position) => (position.safetyDevice ? <SafetyMark word="safety device" /> : '–') },
  { key: 'rating', label: 'Life rating', cell: (position) => ratingWords(position) },
  { key: 'costs', label: 'Replacing it: planned, failed', wide: true, cell: (position) => costWords(position) },
  { key: 'source', label: 'From', wide: true, cell: (position) => <Box sx={{ color: palette.inkSoft }}>{position.ratingSource ?? '–'}</Box> },
];

function typeFacts(type: DoorType) {
  return [
    { term: 'Supply', value: `${type.supplyVolts} V; only a licensed electrician brings it in, at the isolator` },
    { term: 'Frame', value: type.heated ? 'heated' : 'not heated' },
    { term: 'Usual size', value: `${formatLength('metric', type.widthMm)} × ${formatLength('metric', type.heightMm)} (${formatLength('us', type.widthMm)} × ${formatLength('us', type.heightMm)})` },
    { term: 'Shortest cycle', value: `${type.minCycleSeconds} s; no counter can run faster than ${formatWhole(86_400 / type.minCycleSeconds)} cycles a day` },
    ...(type.notes ? [{ term: 'Notes', value: type.notes }] : []),
  ];
}

function Plans({ type, mayChange }: { type: DoorType; mayChange: boolean }) {
  return (
    <Panel
      title="Maintenance plans"
      flush
      actions={
        mayChange ? (
          <Button component={Link} to={`/plans/create?doorTypeId=${type.id}`} size="small" variant="outlined">
            Add a plan
          </Button>
        ) : null
      }
    >
      <RecordList<Plan>
        resource="plans"
        label="Maintenance plans of the type"
        columns={[
          { key: 'name', label: 'Plan', cell: (plan) => plan.name },
          { key: 'tasks', label: 'Tasks', align: 'right', cell: (plan) => plan.tasks },
        ]}
        fixed={{ doorTypeId: type.id, archived: 'false' }}
        sort={{ field: 'name', order: 'ASC' }}
        href={(plan) => `/plans/${plan.id}/show`}
        inside
        empty={{ title: 'No plan yet', text: 'Without one, nothing falls due at doors of this type.' }}
      />
    </Panel>
  );
}
