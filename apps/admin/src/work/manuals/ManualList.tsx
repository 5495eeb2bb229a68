import type { Manual } from '@lintel/contract';
import { archiveFilter, inUse } from '../../common/archive.js';
import { ListPage } from '../../common/ListPage.js';
import type { Column } from '../../common/RecordTable.js';

const columns: readonly Column<Manual>[] = [
  { key: 'title', label: 'Text', sort: 'title', cell: (manual) => manual.title },
  { key: 'type', label: 'For doors of type', sort: 'doorTypeName', cell: (manual) => manual.doorTypeName },
  { key: 'source', label: 'From', cell: (manual) => manual.source },
  { key: 'length', label: 'Length', align: 'right', wide: true, cell: (manual) => `${manual.body.length.toLocaleString('en')} characters` },
];

/** Texts that a technician can read at the door, also without a signal. */
export default function ManualList() {
  return (
    <ListPage<Manual>
      title="Manuals"
      facts={<span>What technicians read at the door, also without a signal. The maker’s own manual comes first.</span>}
      add="Add a text"
      resource="manuals"
      columns={columns}
      filters={[
        { kind: 'text', field: 'q', label: 'Text' },
        { kind: 'record', field: 'doorTypeId', label: 'Door type', resource: 'door-types' },
        archiveFilter,
      ]}
      filterDefaults={inUse}
      sort={{ field: 'title', order: 'ASC' }}
      href={(manual) => `/manuals/${manual.id}`}
      empty={{ title: 'No texts yet', text: 'Write down what a technician needs at a door of a type: wiring, settings, how to get at it.' }}
    />
  );
}
