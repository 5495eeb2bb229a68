import type { Plan } from '@lintel/contract';
import { Button } from '@mui/material';
import { Link } from 'react-router';
import { useMay } from '../access/hooks.js';
import { archiveFilter, inUse } from '../common/archive.js';
import { PageHead } from '../common/Page.js';
import { RecordList } from '../common/RecordList.js';
import type { Column } from '../common/RecordTable.js';

const columns: readonly Column<Plan>[] = [
  { key: 'name', label: 'Maintenance plan', sort: 'name', cell: (plan) => plan.name },
  { key: 'type', label: 'For doors of type', sort: 'doorTypeName', cell: (plan) => plan.doorTypeName },
  { key: 'tasks', label: 'Tasks', sort: 'tasks', align: 'right', cell: (plan) => plan.tasks },
];

/** Maintenance plans: the recurring tasks of each door type. */
export default function PlanList() {
  const mayAdd = useMay('write', 'plans');
  const add = (
    <Button component={Link} to="/plans/create" variant="contained">
      Add a plan
    </Button>
  );
  return (
    <>
      <PageHead title="Maintenance plans" actions={mayAdd ? add : null} />
      <RecordList<Plan>
        resource="plans"
        label="Maintenance plans"
        columns={columns}
        filters={[
          { kind: 'text', field: 'q', label: 'Plan' },
          { kind: 'record', field: 'doorTypeId', label: 'Door type', resource: 'door-types' },
          archiveFilter,
        ]}
        filterDefaults={inUse}
        sort={{ field: 'name', order: 'ASC' }}
        href={(plan) => `/plans/${plan.id}/show`}
        empty={{ title: 'No maintenance plans yet', text: 'A door type taken from the library brings its own plan along.', action: mayAdd ? add : null }}
      />
    </>
  );
}
