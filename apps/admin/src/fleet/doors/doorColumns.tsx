import type { Door } from '@lintel/contract';
import { ConditionMark, SafetyMark, StateMark, formatAbout, formatDate, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { Link } from 'react-router';
import { siteLink } from '../../common/links.js';
import type { Column } from '../../common/RecordTable.js';

const dash = (
  <Box component="span" sx={{ color: palette.slateSoft }} aria-label="not known">
    –
  </Box>
);

/** Columns of every list of doors. */
export const doorColumns: readonly Column<Door>[] = [
  { key: 'name', label: 'Door', sort: 'name', cell: (door) => door.name },
  {
    key: 'site',
    label: 'Site',
    sort: 'siteName',
    cell: (door) => (
      <Box component={Link} to={siteLink(door.siteId)} sx={{ color: palette.ink, textDecoration: 'none', '&:hover': { textDecoration: 'underline' } }}>
        {door.siteName}
      </Box>
    ),
  },
  { key: 'owner', label: 'Owner', sort: 'ownerName', wide: true, cell: (door) => door.ownerName },
  { key: 'type', label: 'Type', sort: 'doorTypeName', wide: true, cell: (door) => door.doorTypeName },
  { key: 'state', label: 'State', sort: 'state', cell: (door) => <StateMark state={door.state} /> },
  {
    key: 'condition',
    label: 'Condition',
    sort: 'condition',
    cell: (door) => (
      <>
        <ConditionMark condition={door.condition} />
        {door.worstPartName && door.condition !== 'sound' ? <Box sx={{ color: palette.slate, fontSize: '0.88rem' }}>{door.worstPartName}</Box> : null}
      </>
    ),
  },
  {
    key: 'duty',
    label: 'Cycles a day',
    sort: 'cyclesPerDay',
    align: 'right',
    wide: true,
    cell: (door) => (door.cyclesPerDay === null ? dash : formatAbout(door.cyclesPerDay)),
  },
  {
    key: 'next',
    label: 'Next due',
    sort: 'nextDueOn',
    cell: (door) =>
      door.nextDueOn === null ? (
        dash
      ) : (
        <>
          {formatDate(door.nextDueOn)}
          {door.nextTaskName ? <Box sx={{ color: palette.slate, fontSize: '0.88rem' }}>{door.nextTaskName}</Box> : null}
        </>
      ),
  },
  {
    key: 'safety',
    label: 'Safety inspection by',
    sort: 'safetyLatestOn',
    cell: (door) =>
      door.safetyLatestOn === null ? (
        dash
      ) : door.overdueSafety ? (
        <SafetyMark word={`overdue since ${formatDate(door.safetyLatestOn)}`} urgent />
      ) : (
        formatDate(door.safetyLatestOn)
      ),
  },
];
