import type { WorkOrderRow } from '@lintel/contract';
import { workKindWords, workStateWords, palette } from '@lintel/ui';
import { Box, Button, ToggleButton, ToggleButtonGroup } from '@mui/material';
import { ListBase, useStore } from 'react-admin';
import { Link } from 'react-router';
import { useAccount, useMay } from '../access/hooks.js';
import { Filters } from '../common/Filters.js';
import type { FilterWord } from '../common/Filters.js';
import { PageHead } from '../common/Page.js';
import { choicesOf } from '../common/words.js';
import { ChosenContext, useChoosing } from './chosen.js';
import { OrderDeeds } from './OrderDeeds.js';
import { WorkBoard } from './WorkBoard.js';
import { WorkTable } from './WorkTable.js';
import { WorkWeek } from './WorkWeek.js';

const views = [
  { id: 'board', name: 'Board' },
  { id: 'week', name: 'Week' },
  { id: 'list', name: 'List' },
] as const;
type View = (typeof views)[number]['id'];

const overdueOnly = { kind: 'choice', field: 'overdue', label: 'Planned day', choices: [{ id: 'true', name: 'Has passed' }, { id: 'false', name: 'Still to come' }] } as const;

function filtersFor(owner: boolean): FilterWord[] {
  const staff: FilterWord[] = [
    { kind: 'record', field: 'ownerId', label: 'Owner', resource: 'owners' },
    { kind: 'record', field: 'siteId', label: 'Site', resource: 'sites', narrowedBy: 'ownerId' },
    { kind: 'record', field: 'technicianId', label: 'Technician', resource: 'people' },
  ];
  return [
    { kind: 'text', field: 'q', label: 'Order, door or site' },
    { kind: 'choice', field: 'state', label: 'State', choices: choicesOf(workStateWords) },
    { kind: 'choice', field: 'kind', label: 'Kind of work', choices: choicesOf(workKindWords) },
    ...(owner ? [{ kind: 'record', field: 'siteId', label: 'Site', resource: 'sites' } as const] : staff),
    overdueOnly,
  ];
}

/** Work orders: by state, by week, or as a list; the filters hold for all three. */
export default function WorkPage() {
  const [view, setView] = useStore<View>('work-orders.view', 'board');
  const plans = useMay('write', 'work-orders');
  const filters = filtersFor(useAccount()?.role === 'owner');
  const add = (
    <Button component={Link} to="/work-orders/create" variant="contained">
      Make an order
    </Button>
  );
  return (
    <>
      <PageHead
        title="Work orders"
        actions={
          <>
            <ToggleButtonGroup exclusive size="small" value={view} onChange={(_event, next: View | null) => next && setView(next)} aria-label="How the orders are shown">
              {views.map(({ id, name }) => (
                <ToggleButton key={id} value={id} sx={{ textTransform: 'none', paddingInline: 2, minHeight: 34, color: palette.ink, '&.Mui-selected': { background: palette.ink, color: palette.paper, '&:hover': { background: palette.inkSoft } } }}>
                  {name}
                </ToggleButton>
              ))}
            </ToggleButtonGroup>
            {plans ? add : null}
          </>
        }
      />
      {view === 'list' ? <WorkTable filters={filters} mayPlan={plans} add={plans ? add : null} /> : <Sheet key={view} view={view} filters={filters} mayPlan={plans} />}
    </>
  );
}

function Sheet({ view, filters, mayPlan }: { view: View; filters: readonly FilterWord[]; mayPlan: boolean }) {
  const chosen = useChoosing(mayPlan);
  return (
    <ListBase<WorkOrderRow> resource="work-orders" sort={{ field: 'number', order: 'DESC' }} perPage={25} exporter={false} storeKey="work-orders.list">
      <ChosenContext value={chosen}>
        <Filters words={filters} />
        {chosen.orders.length > 0 ? (
          <Box role="toolbar" aria-label="With those chosen" sx={{ position: 'sticky', top: 0, zIndex: 3, display: 'flex', flexWrap: 'wrap', alignItems: 'center', gap: 1, padding: '7px 12px', marginBottom: 1, background: palette.iceSoft, border: `1px solid ${palette.line}`, borderRadius: '3px' }}>
            <strong>{chosen.orders.length} chosen</strong>
            <OrderDeeds orders={chosen.orders} clear={chosen.clear} />
            <Button size="small" onClick={chosen.clear}>Choose none</Button>
          </Box>
        ) : null}
        {view === 'week' ? <WorkWeek /> : <WorkBoard />}
      </ChosenContext>
    </ListBase>
  );
}
