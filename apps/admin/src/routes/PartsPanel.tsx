import type { PlanRoute, RoutePlanDetail } from '@lintel/contract';
import { palette, partKindWords } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import type { RaRecord } from 'react-admin';
import { useMay } from '../access/hooks.js';
import { Panel } from '../common/Page.js';
import { Nothing } from '../common/faces.js';
import { RecordTable } from '../common/RecordTable.js';
import type { Column } from '../common/RecordTable.js';
import { useDialog } from '../common/useDialog.js';
import { FillVanDialog } from '../stock/FillVanDialog.js';
import { dayWords } from '../work/week.js';

/** One van on one day. */
interface VanDay extends RaRecord {
  route: PlanRoute;
  missing: number;
}

/** The vans that must carry something, those with missing parts first. */
export function vanDays({ routes }: RoutePlanDetail): VanDay[] {
  return routes
    .filter(({ carry }) => carry.length > 0)
    .map((route) => ({ id: `${route.technicianId}/${route.shift}`, route, missing: route.carry.reduce((sum, part) => sum + part.missing, 0) }))
    .sort((a, b) => Number(b.missing > 0) - Number(a.missing > 0) || a.route.onDate.localeCompare(b.route.onDate) || a.route.technicianName.localeCompare(b.route.technicianName, 'en'));
}

const listed = (carry: PlanRoute['carry'], pick: (part: PlanRoute['carry'][number]) => number): string =>
  carry.filter((part) => pick(part) > 0).map((part) => `${pick(part)} × ${partKindWords[part.kind].toLowerCase()}`).join(', ');

const columns: readonly Column<VanDay>[] = [
  { key: 'van', label: 'Van and day', cell: ({ route }) => `${route.technicianName}, ${dayWords(route.onDate)}` },
  {
    key: 'missing',
    label: 'Missing',
    cell: ({ route, missing }) => (missing > 0 ? <Box component="span" sx={{ color: palette.signalDeep }}><strong>▲ {missing} missing:</strong> {listed(route.carry, (part) => part.missing)}</Box> : 'nothing'),
  },
  { key: 'there', label: 'On the van', cell: ({ route }) => listed(route.carry, ({ needed, missing }) => needed - missing) || 'nothing of it' },
];

interface VanTableProps {
  vans: readonly VanDay[];
  label: string;
  /** Somebody wants to fill this van. */
  onFill?: ((route: PlanRoute) => void) | undefined;
}

export function VanTable({ vans, label, onFill }: VanTableProps) {
  const fill = ({ route, missing }: VanDay) => (missing > 0 ? (
    <Button size="small" variant="outlined" onClick={() => onFill?.(route)} aria-label={`Fill the van of ${route.technicianName}, ${dayWords(route.onDate)}`}>Fill</Button>
  ) : null);
  return <RecordTable<VanDay> label={label} columns={columns} records={vans} urgent={({ missing }) => missing > 0} renderDeeds={onFill ? fill : undefined} />;
}

/** What each van must carry on each day, the missing parts first. */
export function PartsPanel({ plan }: { plan: RoutePlanDetail }) {
  const vans = vanDays(plan);
  const filling = useDialog<PlanRoute>();
  const mayFill = useMay('write', 'van-stock');
  const missing = vans.reduce((sum, van) => sum + van.missing, 0);
  return (
    <Panel title="Parts for the vans" note={vans.length === 0 ? '' : missing === 0 ? 'Nothing is missing' : `${missing} missing`} flush>
      {vans.length === 0 ? <Nothing title="No parts needed">None of the work planned takes a part.</Nothing> : <VanTable vans={vans} label="Parts by van and day" onFill={mayFill && missing > 0 ? filling.open : undefined} />}
      {filling.subject ? <FillVanDialog route={filling.subject} onClose={filling.close} /> : null}
    </Panel>
  );
}
