import type { Technician } from '@lintel/contract';
import { Button } from '@mui/material';
import { Link } from 'react-router';
import { useMay } from '../access/hooks.js';
import { archiveFilter } from '../common/archive.js';
import { PageHead } from '../common/Page.js';
import { RecordList } from '../common/RecordList.js';
import type { Column } from '../common/RecordTable.js';
import { hoursSentence } from './routeWords.js';

const columns: readonly Column<Technician>[] = [
  { key: 'name', label: 'Name', sort: 'name', cell: ({ name }) => name },
  { key: 'skills', label: 'Skills', cell: ({ skills }) => skills.join(', ') || 'none named' },
  { key: 'hours', label: 'Hours', cell: ({ shifts }) => hoursSentence(shifts) },
  { key: 'zone', label: 'Clock', wide: true, cell: ({ timeZone }) => timeZone.replaceAll('_', ' ') },
  { key: 'active', label: 'Sign-in', wide: true, cell: ({ active }) => (active ? 'may sign in' : 'shut: not planned') },
];

/** Who drives: those that plans of routes go by. */
export default function TechnicianList() {
  const mayAdd = useMay('write', 'technicians');
  const add = mayAdd ? <Button component={Link} to="/technicians/create" variant="contained">Add a profile</Button> : null;
  return (
    <>
      <PageHead title="Technicians" facts={<span>Homes, skills and hours, by which routes are planned.</span>} actions={add} />
      <RecordList<Technician>
        resource="technicians"
        label="Technicians"
        columns={columns}
        filters={[{ kind: 'text', field: 'q', label: 'Name or e-mail' }, archiveFilter]}
        filterDefaults={{ archived: 'false' }}
        sort={{ field: 'name', order: 'ASC' }}
        href={({ id }) => `/technicians/${id}/show`}
        empty={{ title: 'No technician has a profile yet', text: 'A profile says where a technician sets out, at what hours, and with which skills.', action: add }}
      />
    </>
  );
}
