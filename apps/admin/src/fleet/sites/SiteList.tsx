import type { Site } from '@lintel/contract';
import { SafetyMark, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { archiveFilter, inUse } from '../../common/archive.js';
import type { FilterWord } from '../../common/Filters.js';
import { siteLink } from '../../common/links.js';
import { ListPage } from '../../common/ListPage.js';
import type { Column } from '../../common/RecordTable.js';

const columns: readonly Column<Site>[] = [
  { key: 'name', label: 'Site', sort: 'name', cell: (site) => site.name },
  { key: 'owner', label: 'Owner', sort: 'ownerName', cell: (site) => site.ownerName },
  { key: 'address', label: 'Address', wide: true, cell: (site) => `${site.address ?? '–'} (${site.countryCode})` },
  { key: 'zone', label: 'Time zone', wide: true, cell: (site) => site.timeZone },
  { key: 'doors', label: 'Doors', sort: 'doors', align: 'right', cell: (site) => site.doors },
  {
    key: 'out',
    label: 'Out of service',
    sort: 'doorsOutOfService',
    align: 'right',
    cell: (site) => <Box component="span" sx={site.doorsOutOfService > 0 ? { color: palette.signalDeep, fontWeight: 700 } : {}}>{site.doorsOutOfService}</Box>,
  },
  {
    key: 'overdue',
    label: 'Safety inspections',
    sort: 'overdueSafety',
    cell: (site) => (site.overdueSafety > 0 ? <SafetyMark word={`${site.overdueSafety} overdue`} urgent /> : <SafetyMark word="none overdue" />),
  },
];

const filters: readonly FilterWord[] = [
  { kind: 'text', field: 'q', label: 'Site' },
  { kind: 'record', field: 'ownerId', label: 'Owner', resource: 'owners' },
  archiveFilter,
];

/** Every site that the account may see. */
export default function SiteList() {
  return (
    <ListPage<Site>
      title="Sites"
      add="Add a site"
      resource="sites"
      columns={columns}
      filters={filters}
      filterDefaults={inUse}
      sort={{ field: 'name', order: 'ASC' }}
      href={(site) => siteLink(site.id)}
      urgent={(site) => site.overdueSafety > 0}
      empty={{ title: 'No sites yet', text: 'A site is a place with doors: an address, a time zone, its rooms.' }}
    />
  );
}
