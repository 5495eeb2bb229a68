import type { Plan } from '@lintel/contract';
import { archiveFilter, inUse } from '../common/archive.js';
import { ListPage } from '../common/ListPage.js';
import type { Column } from '../common/RecordTable.js';

const columns: readonly Column<Plan>[] = [
  { key: 'name', label: 'Maintenance plan', sort: 'name', cell: (plan) => plan.name },
  { key: 'type', label: 'For doors of type', sort: 'doorTypeName', cell: (plan) => plan.doorTypeName },
  { key: 'tasks', label: 'Tasks', sort: 'tasks', align: 'right', cell: (plan) => plan.tasks },
];

/** Maintenance plans: the recurring tasks of each door type. */
export default function PlanList() {
  return (
    <ListPage<Plan>
      title="Maintenance plans"
      add="Add a plan"
      resource="plans"
      columns={columns}
      filters={[
        { kind: 'text', field: 'q', label: 'Plan' },
        { kind: 'record', field: 'doorTypeId', label: 'Door type', resource: 'door-types' },
        archiveFilter,
      ]}
      filterDefaults={inUse}
      sort={{ field: 'name', order: 'ASC' }}
      href={(plan) => `/plans/${plan.id}/show`}
      empty={{ title: 'No maintenance plans yet', text: 'A door type taken from the library brings its own plan along.' }}
    />
  );
}
