import type { Technician } from '@lintel/contract';
import { archiveFilter } from '../common/archive.js';
import { ListPage } from '../common/ListPage.js';
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
  return (
    <ListPage<Technician>
      title="Technicians"
      facts={<span>Homes, skills and hours, by which routes are planned.</span>}
      add="Add a profile"
      resource="technicians"
      columns={columns}
      filters={[{ kind: 'text', field: 'q', label: 'Name or e-mail' }, archiveFilter]}
      filterDefaults={{ archived: 'false' }}
      sort={{ field: 'name', order: 'ASC' }}
      href={({ id }) => `/technicians/${id}/show`}
      empty={{ title: 'No technician has a profile yet', text: 'A profile says where a technician sets out, at what hours, and with which skills.' }}
    />
  );
}
