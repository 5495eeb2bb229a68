import type { RoutePlan } from '@lintel/contract';
import { formatDateRange, formatInstant, formatMoney } from '@lintel/ui';
import { Button } from '@mui/material';
import { useState } from 'react';
import { useMay } from '../access/hooks.js';
import { ListPage } from '../common/ListPage.js';
import type { Column } from '../common/RecordTable.js';
import { choicesOf } from '../common/words.js';
import { addDays } from '../work/week.js';
import { NewPlanDialog } from './NewPlanDialog.js';
import { PlanStateMark } from './PlanStateMark.js';
import { planStateWords } from './routeWords.js';

const columns: readonly Column<RoutePlan>[] = [
  { key: 'name', label: 'Plan', sort: 'name', cell: (plan) => plan.name },
  { key: 'days', label: 'Days', sort: 'fromOn', cell: ({ fromOn, days }) => formatDateRange(fromOn, addDays(fromOn, days - 1)) },
  { key: 'state', label: 'State', sort: 'state', cell: ({ state }) => <PlanStateMark state={state} /> },
  { key: 'visits', label: 'Visits', align: 'right', cell: ({ visits }) => visits },
  { key: 'unserved', label: 'Not served', align: 'right', cell: ({ unserved }) => unserved },
  { key: 'cost', label: 'Cost', align: 'right', cell: ({ cost, currency }) => (cost === null ? '–' : formatMoney(cost, currency)) },
  { key: 'made', label: 'Asked for', sort: 'createdAt', wide: true, cell: ({ createdAt, accountName }) => `${formatInstant(createdAt)}${accountName ? ` by ${accountName}` : ''}` },
];

/** Plans of routes, the newest first. */
export default function RoutePlanList() {
  const mayPlan = useMay('write', 'route-plans');
  const [making, setMaking] = useState(false);
  const make = mayPlan ? <Button variant="contained" onClick={() => setMaking(true)}>New plan</Button> : null;
  return (
    <>
      <ListPage<RoutePlan>
        title="Route plans"
        facts={<span>Who goes where on which day, made from what is due.</span>}
        actions={make}
        resource="route-plans"
        columns={columns}
        filters={[{ kind: 'text', field: 'q', label: 'Name' }, { kind: 'choice', field: 'state', label: 'State', choices: choicesOf(planStateWords) }]}
        sort={{ field: 'createdAt', order: 'DESC' }}
        href={({ id }) => `/route-plans/${id}/show`}
        everyMs={5000}
        urgent={({ state }) => state === 'failed'}
        empty={{ title: 'No plan yet', text: 'A plan turns due work into visits, by technician and day.', action: make }}
      />
      {making ? <NewPlanDialog onClose={() => setMaking(false)} /> : null}
    </>
  );
}
