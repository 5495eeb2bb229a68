import type { Absence, PublishedVisit, Technician, VanStock } from '@lintel/contract';
import { formatDateRange, formatInstant, partKindWords } from '@lintel/ui';
import { Button } from '@mui/material';
import { useGetOne } from 'react-admin';
import { Link, useParams } from 'react-router';
import { useAccount, useMay } from '../access/hooks.js';
import { Trouble, Waiting } from '../common/faces.js';
import { siteLink } from '../common/links.js';
import { useNow } from '../common/now.js';
import { Columns, Facts, PageHead, Panel, Stack } from '../common/Page.js';
import { RecordList } from '../common/RecordList.js';
import { useDialog } from '../common/useDialog.js';
import { CalendarPanel } from './CalendarPanel.js';
import { hoursOf, weekdayWords } from './routeWords.js';
import { CountDialog, StockDialog } from '../stock/stockDialogs.js';
import { AbsenceDialog, EndDialog } from './technicianDialogs.js';

/** A technician as plans of routes know them: home, skills, hours, absences, van, calendar. */
export default function TechnicianPage() {
  const { id = '' } = useParams();
  const { data: technician, error, isPending, refetch } = useGetOne<Technician>('technicians', { id });
  const mayWrite = useMay('write', 'technicians');
  const account = useAccount();
  if (error) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending || !technician) return <Waiting what="the technician" />;
  const change = mayWrite && !technician.archived ? <Button component={Link} to={`/technicians/${id}`} variant="outlined">Change</Button> : null;
  return (
    <>
      <PageHead
        title={technician.name} up={{ to: '/technicians', word: 'Technicians' }} actions={change}
        facts={<><span>{technician.email}</span><span>clock of {technician.timeZone.replaceAll('_', ' ')}</span>{technician.archived ? <span>not planned any more</span> : null}</>}
      />
      <Stack>
        <Columns>
          <Panel title="Profile">
            <Facts rows={aboutRows(technician)} />
          </Panel>
          <Panel title="Hours" note="By the clock at home">
            <Facts rows={weekdayWords.map((term, index) => ({ term, value: hoursOf(technician.shifts, index + 1) || 'free' }))} />
          </Panel>
        </Columns>
        <Columns>
          <Absences technician={technician} mayWrite={mayWrite && !technician.archived} />
          <Van technician={technician} />
        </Columns>
        <Visits technician={technician} />
        {mayWrite || account?.id === id ? <CalendarPanel technician={technician} /> : null}
      </Stack>
    </>
  );
}

function aboutRows({ homeLatitude, homeLongitude, skills, vanLoadKg }: Technician) {
  const half = (value: number, plus: string, minus: string) => `${Math.abs(value).toFixed(4)}° ${value < 0 ? minus : plus}`;
  return [
    { term: 'Home', value: `${half(homeLatitude, 'N', 'S')}, ${half(homeLongitude, 'E', 'W')}` },
    { term: 'Skills', value: skills.join(', ') || 'none named' },
    { term: 'Van carries', value: vanLoadKg === null ? 'no limit given' : `${vanLoadKg} kg` },
  ];
}

function Absences({ technician, mayWrite }: { technician: Technician; mayWrite: boolean }) {
  const adding = useDialog<true>();
  const ending = useDialog<Absence>();
  const add = mayWrite ? <Button size="small" variant="outlined" onClick={() => adding.open(true)}>Add an absence</Button> : null;
  return (
    <Panel title="Absences" flush actions={add}>
      <RecordList<Absence>
        resource="absences" label="Days of absence" inside fixed={{ technicianId: technician.id, archived: 'false' }} sort={{ field: 'fromOn', order: 'DESC' }}
        columns={[
          { key: 'days', label: 'Days', sort: 'fromOn', cell: ({ fromOn, toOn }) => formatDateRange(fromOn, toOn) },
          { key: 'note', label: 'Note', cell: ({ note }) => note ?? '' },
        ]}
        empty={{ title: 'No absences', text: 'Days on which the technician does not drive; published plans have to be made again to heed them.' }}
        renderDeeds={mayWrite ? (absence) => <Button size="small" onClick={() => ending.open(absence)} aria-label={`Take back: ${formatDateRange(absence.fromOn, absence.toOn)}`}>Take back</Button> : undefined}
      />
      {adding.subject ? <AbsenceDialog technician={technician} onClose={adding.close} /> : null}
      {ending.subject ? <EndDialog absence={ending.subject} onClose={ending.close} /> : null}
    </Panel>
  );
}

function Van({ technician }: { technician: Technician }) {
  const mayWrite = useMay('write', 'van-stock');
  const adding = useDialog<true>();
  const counting = useDialog<VanStock>();
  const add = mayWrite ? <Button size="small" variant="outlined" onClick={() => adding.open(true)}>Add a part</Button> : null;
  return (
    <Panel title="In the van" flush actions={add}>
      <RecordList<VanStock>
        resource="van-stock" label="Parts in the van" inside fixed={{ technicianId: technician.id }} sort={{ field: 'code', order: 'ASC' }}
        columns={[
          { key: 'part', label: 'Part', sort: 'code', cell: ({ code, partName }) => `${code} ${partName}` },
          { key: 'kind', label: 'Goes into', wide: true, cell: ({ kind }) => partKindWords[kind] },
          { key: 'quantity', label: 'Quantity', align: 'right', sort: 'quantity', cell: ({ quantity }) => quantity },
          { key: 'counted', label: 'Counted', wide: true, cell: ({ countedAt }) => formatInstant(countedAt) },
        ]}
        empty={{ title: 'Nothing is known of the van', text: 'Add the parts it carries, so that plans can say what is missing.' }}
        renderDeeds={mayWrite ? (stock) => <Button size="small" onClick={() => counting.open(stock)} aria-label={`Count: ${stock.partName}`}>Count</Button> : undefined}
      />
      {adding.subject ? <StockDialog technician={technician} onClose={adding.close} /> : null}
      {counting.subject ? <CountDialog stock={counting.subject} onClose={counting.close} /> : null}
    </Panel>
  );
}

function Visits({ technician }: { technician: Technician }) {
  const now = useNow();
  return (
    <Panel title="Published visits to come" flush>
      <RecordList<PublishedVisit>
        resource="visits" label="Published visits" inside fixed={{ technicianId: technician.id, startAtFrom: now }} sort={{ field: 'startAt', order: 'ASC' }} href={({ siteId }) => siteLink(siteId)}
        columns={[
          { key: 'site', label: 'Site', sort: 'siteName', cell: ({ siteName }) => siteName },
          { key: 'start', label: 'Begins', sort: 'startAt', cell: ({ startAt, timeZone }) => `${formatInstant(startAt, timeZone)}, clock at the site` },
          { key: 'work', label: 'Pieces of work', align: 'right', cell: ({ items }) => items.length },
        ]}
        empty={{ title: 'No visit is published', text: 'Visits appear here when a route plan is published.' }}
      />
    </Panel>
  );
}
