import type { RoutePlanDetail, VisitCosts } from '@lintel/contract';
import { formatMinutes, formatMoney, formatWhole, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { Facts, Panel } from '../common/Page.js';
import { costWords } from './routeWords.js';

/** What the plan costs, by what it is paid for; the parts add up to the sum. */
export function CostPanel({ plan }: { plan: RoutePlanDetail }) {
  const { currency, visitList, routes } = plan;
  const sum = (key: keyof VisitCosts) => visitList.reduce((total, { costs }) => total + costs[key], 0);
  const driven = routes.filter(({ visitIds }) => visitIds.length > 0);
  const total = (pick: (route: RoutePlanDetail['routes'][number]) => number) => driven.reduce((all, route) => all + pick(route), 0);
  const rows = [
    { term: costWords.travel, value: plan.travelCost ?? 0 },
    { term: 'Days driven', value: driven.length * plan.settings.prices.route },
    { term: costWords.trip, value: sum('trip') },
    { term: costWords.late, value: sum('late') },
    { term: costWords.early, value: sum('early') },
    { term: costWords.moved, value: sum('moved') },
    { term: costWords.unserved, value: sum('unserved') },
  ];
  return (
    <Panel title="Cost of the plan" note={plan.cost === null ? '' : formatMoney(plan.cost, currency)}>
      <Facts rows={rows.map(({ term, value }) => ({ term, value: formatMoney(value, currency) }))} />
      <Box sx={{ marginTop: 1.2, color: palette.inkSoft, fontSize: '0.9rem' }}>
        {formatMinutes(Math.round(total((route) => route.workMinutes)))} of work, {formatMinutes(Math.round(total((route) => route.travelMinutes)))} and {formatWhole(total((route) => route.travelKm))} km of travel,{' '}
        {formatMinutes(Math.round(total((route) => route.waitingMinutes)))} of waiting. Lateness and life are prices of the plan, not money paid.
      </Box>
    </Panel>
  );
}
