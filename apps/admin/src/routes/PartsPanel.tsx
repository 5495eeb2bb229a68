import type { PlanRoute, RoutePlanDetail } from '@lintel/contract';
import { palette, partKindWords } from '@lintel/ui';
import { Box } from '@mui/material';
import type { RaRecord } from 'react-admin';
import { Panel } from '../common/Page.js';
import { Nothing } from '../common/faces.js';
import { RecordTable } from '../common/RecordTable.js';
import type { Column } from '../common/RecordTable.js';
import { dayWords } from '../work/week.js';

interface Line extends RaRecord {
  route: PlanRoute;
  part: PlanRoute['carry'][number];
}

export function partLines({ routes }: RoutePlanDetail, missingOnly = false): Line[] {
  return routes.flatMap((route) => route.carry.filter(({ missing }) => !missingOnly || missing > 0).map((part) => ({ id: `${route.technicianId}/${route.shift}/${part.kind}`, route, part })));
}

const columns: readonly Column<Line>[] = [
  { key: 'part', label: 'Part', cell: ({ part }) => partKindWords[part.kind] },
  { key: 'van', label: 'Van of', cell: ({ route }) => route.technicianName },
  { key: 'day', label: 'Day', cell: ({ route }) => dayWords(route.onDate) },
  { key: 'needed', label: 'Needed', align: 'right', cell: ({ part }) => part.needed },
  { key: 'on', label: 'On the van', align: 'right', cell: ({ part }) => part.onVan },
  {
    key: 'missing',
    label: 'Missing',
    align: 'right',
    cell: ({ part }) => (part.missing > 0 ? <Box component="strong" sx={{ color: palette.signalDeep }}>▲ {part.missing} missing</Box> : 'none'),
  },
];

export function PartsTable({ lines, label }: { lines: readonly Line[]; label: string }) {
  return <RecordTable<Line> label={label} columns={columns} records={lines} urgent={({ part }) => part.missing > 0} />;
}

/** What each van must carry on each day, the missing parts first. */
export function PartsPanel({ plan }: { plan: RoutePlanDetail }) {
  const lines = partLines(plan).sort((a, b) => b.part.missing - a.part.missing);
  const missing = lines.reduce((sum, { part }) => sum + part.missing, 0);
  return (
    <Panel title="Parts for the vans" note={lines.length === 0 ? '' : missing === 0 ? 'Nothing is missing' : `${missing} missing`} flush>
      {lines.length === 0 ? <Nothing title="No parts needed">None of the work planned takes a part.</Nothing> : <PartsTable lines={lines} label="Parts for the vans" />}
    </Panel>
  );
}
