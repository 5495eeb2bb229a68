import type { Site, SiteWindow } from '@lintel/contract';
import { Button } from '@mui/material';
import { SelectInput, TextInput, required } from 'react-admin';
import { etagOf, givenFields } from '../access/dataProvider.js';
import { useApi, useMay } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { Panel } from '../common/Page.js';
import { RecordList } from '../common/RecordList.js';
import { useDialog } from '../common/useDialog.js';
import { weekdayWords } from './routeWords.js';

/** When work may begin at a site. */
export function SiteWindowsPanel({ site }: { site: Site }) {
  const mayWrite = useMay('write', 'site-windows');
  const adding = useDialog<true>();
  const changing = useDialog<SiteWindow>();
  const ending = useDialog<SiteWindow>();
  return (
    <Panel title="Access hours" note="When work may begin, by the clock at the site" flush actions={mayWrite ? <Button size="small" variant="outlined" onClick={() => adding.open(true)}>Add hours</Button> : null}>
      <RecordList<SiteWindow>
        resource="site-windows" label="Hours by weekday" inside fixed={{ siteId: site.id, archived: 'false' }} sort={{ field: 'weekday', order: 'ASC' }}
        columns={[
          { key: 'weekday', label: 'Weekday', sort: 'weekday', cell: ({ weekday }) => weekdayWords[weekday - 1] },
          { key: 'hours', label: 'Hours', sort: 'opensAt', cell: ({ opensAt, closesAt }) => `${opensAt}–${closesAt}` },
          { key: 'note', label: 'Note', cell: ({ note }) => note ?? '' },
        ]}
        empty={{ title: 'Open at all hours', text: 'Without hours a visit may begin at any time of any day.' }}
        renderDeeds={mayWrite ? (window) => (
          <>
            <Button size="small" onClick={() => changing.open(window)} aria-label={`Change: ${weekdayWords[window.weekday - 1]} ${window.opensAt}`}>Change</Button>
            <Button size="small" onClick={() => ending.open(window)} aria-label={`Remove: ${weekdayWords[window.weekday - 1]} ${window.opensAt}`}>Remove</Button>
          </>
        ) : undefined}
      />
      {adding.subject ? <HoursDialog site={site} onClose={adding.close} /> : null}
      {changing.subject ? <HoursDialog site={site} window={changing.subject} onClose={changing.close} /> : null}
      {ending.subject ? <RemoveDialog window={ending.subject} onClose={ending.close} /> : null}
    </Panel>
  );
}

function HoursDialog({ site, window, onClose }: { site: Site; window?: SiteWindow; onClose: () => void }) {
  const api = useApi();
  const submit = ({ weekday, opensAt, closesAt, note }: Record<string, unknown>) =>
    window
      ? api.send('PATCH', `/site-windows/${window.id}`, { weekday, opensAt, closesAt, note: note ?? null }, etagOf(window.version))
      : api.send('POST', '/site-windows', { siteId: site.id, ...givenFields({ weekday, opensAt, closesAt, note }) });
  const defaults = window ? { weekday: window.weekday, opensAt: window.opensAt, closesAt: window.closesAt, note: window.note } : { opensAt: '08:00', closesAt: '16:00' };
  return (
    <ActionDialog title={`Access hours of ${site.name}`} open onClose={onClose} submit={submit} submitWord="Save" done="Saved; plans made from now on heed it." defaults={defaults}>
      <SelectInput source="weekday" label="Weekday" choices={weekdayWords.map((name, index) => ({ id: index + 1, name }))} validate={required()} helperText={false} />
      <TextInput source="opensAt" label="From" validate={required()} helperText="HH:MM" />
      <TextInput source="closesAt" label="Until" validate={required()} helperText="The last time at which work may begin, HH:MM; 24:00 is the end of the day" />
      <TextInput source="note" label="Note" />
    </ActionDialog>
  );
}

function RemoveDialog({ window, onClose }: { window: SiteWindow; onClose: () => void }) {
  const api = useApi();
  return (
    <ActionDialog title="Remove these hours" open onClose={onClose} submit={() => api.send('DELETE', `/site-windows/${window.id}`, undefined, etagOf(window.version))} submitWord="Remove them" done="Removed.">
      {weekdayWords[window.weekday - 1]}, {window.opensAt}–{window.closesAt}. With no hours left for any weekday the site counts as open at all hours.
    </ActionDialog>
  );
}
