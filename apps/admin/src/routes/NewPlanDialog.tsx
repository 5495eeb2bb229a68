import type { RoutePlanAsked } from '@lintel/contract';
import { usualRouteSettings } from '@lintel/contract';
import { Box } from '@mui/material';
import { AutocompleteArrayInput, DateInput, NumberInput, ReferenceArrayInput, TextInput, regex, required } from 'react-admin';
import { useWatch } from 'react-hook-form';
import { useNavigate } from 'react-router';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { useToday } from '../common/now.js';
import { addDays, mondayOf } from '../work/week.js';

/** Asks for a plan; a job makes it, the page watches. */
export function NewPlanDialog({ onClose }: { onClose: () => void }) {
  const api = useApi();
  const navigate = useNavigate();
  const today = useToday();
  const submit = async ({ name, fromOn, days, budgetSeconds, horizonDays, visitMinutes, speedKmh, detourFactor, currency, technicianIds, siteIds, prices }: Record<string, unknown>) => {
    const some = (key: string, ids: unknown) => (Array.isArray(ids) && ids.length > 0 ? { [key]: ids } : {});
    const chosen = { ...some('technicianIds', technicianIds), ...some('siteIds', siteIds) };
    const { planId } = await api.send<RoutePlanAsked>('POST', '/route-plans', {
      ...(name ? { name } : {}), fromOn, days, budgetSeconds, currency, settings: { horizonDays, visitMinutes, speedKmh, detourFactor, prices, ...chosen },
    });
    void navigate(`/route-plans/${planId}/show`);
  };
  const { horizonDays, visitMinutes, speedKmh, detourFactor, prices } = usualRouteSettings;
  return (
    <ActionDialog
      title="New route plan" open onClose={onClose} submit={submit} submitWord="Make the plan" done="The plan is being made."
      defaults={{ fromOn: addDays(mondayOf(today), 7), days: 5, budgetSeconds: 20, horizonDays, visitMinutes, speedKmh, detourFactor, currency: 'EUR', prices }}
    >
      <TextInput source="name" label="Name" helperText="Left empty: its first day" />
      <Box sx={{ display: 'grid', gap: '0 12px', gridTemplateColumns: { xs: '1fr', sm: '1fr 1fr' } }}>
        <DateInput source="fromOn" label="First day" validate={required()} helperText={false} />
        <NumberInput source="days" label="Days" min={1} max={31} step={1} validate={required()} helperText={false} />
        <NumberInput source="horizonDays" label="Days of due work looked at" min={7} max={120} step={1} validate={required()} helperText="What falls due later may join a visit" />
        <NumberInput source="visitMinutes" label="Longest visit, minutes" min={30} max={1440} validate={required()} helperText="A site with more work gets several" />
        <NumberInput source="budgetSeconds" label="Time for the search, seconds" min={1} max={600} step={1} validate={required()} helperText="It can be stopped at any time" />
      </Box>
      <ReferenceArrayInput source="technicianIds" reference="technicians" filter={{ archived: 'false', active: 'true' }} sort={{ field: 'name', order: 'ASC' }} perPage={100}>
        <AutocompleteArrayInput label="Technicians" optionText="name" filterToQuery={(text: string) => ({ q: text })} helperText="Left empty: all of them" />
      </ReferenceArrayInput>
      <ReferenceArrayInput source="siteIds" reference="sites" filter={{ archived: 'false' }} sort={{ field: 'name', order: 'ASC' }} perPage={100}>
        <AutocompleteArrayInput label="Sites" optionText="name" filterToQuery={(text: string) => ({ q: text })} helperText="Left empty: all of them" />
      </ReferenceArrayInput>
      <Box sx={{ display: 'grid', gap: '0 12px', gridTemplateColumns: { xs: '1fr', sm: '1fr 1fr' } }}>
        <NumberInput source="speedKmh" label="Speed where travel is estimated, km/h" min={5} max={200} validate={required()} helperText="For ways that no list and no routing server knows" />
        <NumberInput source="detourFactor" label="Detour against the straight line" min={1} max={4} step={0.05} validate={required()} helperText="1.3: roads are 30 % longer" />
      </Box>
      <Prices />
    </ActionDialog>
  );
}

const priceWords = {
  perMinute: 'A minute, on the road or at work',
  perKm: 'A kilometre',
  route: 'A day that is driven at all',
  trip: 'A visit, as a trip of its own',
  movedVisit: 'An announced visit that is moved',
  'lateDay.safety': 'A day late: safety inspection',
  'lateDay.unsafe': 'A day late: unsafe finding',
  'lateDay.defect': 'A day late: defect',
  'lateDay.note': 'A day late: note',
  'lateDay.order': 'A day late: work order',
  'lateDay.due': 'A day late: maintenance',
} as const;

/** By these prices one plan is better than another; they are common practice until the company gives its own. */
function Prices() {
  const currency = String((useWatch({ name: 'currency' }) as unknown) ?? '');
  return (
    <Box component="details" sx={{ marginTop: 1 }}>
      <Box component="summary" sx={{ cursor: 'pointer', fontWeight: 650 }}>Prices, in cents of {currency || 'the currency'}</Box>
      <TextInput source="currency" label="Currency" validate={[required(), regex(/^[A-Z]{3}$/, 'Three capital letters, such as EUR')]} helperText="Of all prices below; they are not converted" />
      <Box sx={{ margin: '6px 0' }}>What the plan weighs against one another. A safety inspection is never priced below any other work, whatever is given.</Box>
      <Box sx={{ display: 'grid', gap: '0 12px', gridTemplateColumns: { xs: '1fr', sm: '1fr 1fr' } }}>
        {Object.entries(priceWords).map(([source, label]) => (
          <NumberInput key={source} source={`prices.${source}`} label={label} min={0} validate={required()} helperText={false} />
        ))}
      </Box>
    </Box>
  );
}
