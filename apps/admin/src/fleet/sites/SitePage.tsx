import type { Door, Site, Zone } from '@lintel/contract';
import { SafetyMark, count, formatTemperature } from '@lintel/ui';
import { Button } from '@mui/material';
import { useGetOne } from 'react-admin';
import { Link, useParams } from 'react-router';
import { useMay } from '../../access/hooks.js';
import { Trouble, Waiting } from '../../common/faces.js';
import { doorLink } from '../../common/links.js';
import { Columns, Facts, PageHead, Panel, Stack } from '../../common/Page.js';
import { RecordList } from '../../common/RecordList.js';
import { temperatureWords } from '../../common/words.js';
import { SiteVisitsPanel } from '../../routes/SiteVisitsPanel.js';
import { SiteWindowsPanel } from '../../routes/SiteWindowsPanel.js';
import { doorColumns } from '../doors/doorColumns.js';

/** One site: its doors first, then its rooms and its own facts. */
export default function SitePage() {
  const { id = '' } = useParams();
  const { data: site, error, isPending, refetch } = useGetOne<Site>('sites', { id });
  const mayChange = useMay('write', 'sites');
  if (error) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending || !site) return <Waiting what="the site" />;
  const change = (
    <>
      <Button component={Link} to={`/sites/${site.id}`} variant="outlined">
        Change
      </Button>
      <Button component={Link} to={`/doors/create?siteId=${site.id}`} variant="contained">
        Add a door
      </Button>
    </>
  );
  return (
    <>
      <PageHead title={site.name} up={{ to: '/sites', word: 'Sites' }} actions={mayChange ? change : null} facts={<SiteLine site={site} />} />
      <Stack>
        <Panel title="Doors" flush>
          <RecordList<Door>
            resource="doors"
            label="Doors of the site"
            columns={doorColumns.filter(({ key }) => key !== 'site' && key !== 'owner')}
            fixed={{ siteId: site.id }}
            sort={{ field: 'name', order: 'ASC' }}
            href={(door) => doorLink(door.id)}
            urgent={(door) => door.overdueSafety}
            inside
            empty={{ title: 'No doors at this site yet', text: 'Add one, or bring them in from a file under Imports.' }}
          />
        </Panel>
        <Columns>
          <SiteVisitsPanel siteId={site.id} />
          <SiteWindowsPanel site={site} />
        </Columns>
        <Columns>
          <Zones site={site} mayChange={mayChange} />
          <Panel title="About the site">
            <Facts rows={siteFacts(site)} />
          </Panel>
        </Columns>
      </Stack>
    </>
  );
}

function SiteLine({ site }: { site: Site }) {
  return (
    <>
      <span>{site.ownerName}</span>
      <span>{count(site.doors, 'door')}</span>
      {site.overdueSafety > 0 ? (
        <SafetyMark word={`${count(site.overdueSafety, 'door')} with an overdue safety inspection`} urgent />
      ) : (
        <SafetyMark word="no safety inspection overdue" />
      )}
    </>
  );
}

function siteFacts(site: Site) {
  return [
    { term: 'Address', value: `${site.address ?? 'not given'} (${site.countryCode})` },
    { term: 'Time zone', value: site.timeZone },
    { term: 'Units', value: site.units === 'us' ? 'US (inches, °F)' : 'metric (millimetres, °C)' },
    { term: 'Currency', value: site.currency },
    {
      term: 'Safety inspections',
      value:
        site.regimeMonths === null
          ? 'at the interval of each maintenance plan; confirm against local rules'
          : `at least every ${count(site.regimeMonths, 'month')}: ${site.regimeSource ?? 'source not named'}`,
    },
  ];
}

function Zones({ site, mayChange }: { site: Site; mayChange: boolean }) {
  return (
    <Panel
      title="Zones"
      note="Rooms of the site"
      flush
      actions={
        mayChange ? (
          <Button component={Link} to={`/zones/create?siteId=${site.id}`} size="small" variant="outlined">
            Add a zone
          </Button>
        ) : null
      }
    >
      <RecordList<Zone>
        resource="zones"
        label="Zones of the site"
        columns={[
          { key: 'name', label: 'Zone', sort: 'name', cell: (zone) => zone.name },
          { key: 'class', label: 'Temperature class', sort: 'temperatureClass', cell: (zone) => temperatureWords[zone.temperatureClass] },
          {
            key: 'set',
            label: 'Set point',
            align: 'right',
            cell: (zone) => (zone.setPointCelsius === null ? '–' : formatTemperature(site.units, zone.setPointCelsius)),
          },
        ]}
        fixed={{ siteId: site.id, archived: 'false' }}
        sort={{ field: 'name', order: 'ASC' }}
        {...(mayChange ? { href: (zone: Zone) => `/zones/${zone.id}` } : {})}
        inside
        empty={{ title: 'No zones yet', text: 'Zones say between which temperatures a door hangs.' }}
      />
    </Panel>
  );
}
