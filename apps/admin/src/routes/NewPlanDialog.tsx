import type { RoutePlanAsked } from '@lintel/contract';
import { usualRouteSettings } from '@lintel/contract';
import { Box } from '@mui/material';
import { AutocompleteArrayInput, DateInput, NumberInput, ReferenceArrayInput, TextInput, required } from 'react-admin';
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
  const submit = async ({ name, fromOn, days, budgetSeconds, horizonDays, visitMinutes, technicianIds }: Record<string, unknown>) => {
    const chosen = Array.isArray(technicianIds) && technicianIds.length > 0 ? { technicianIds } : {};
    const { planId } = await api.send<RoutePlanAsked>('POST', '/route-plans', {
      ...(name ? { name } : {}), fromOn, days, budgetSeconds, settings: { horizonDays, visitMinutes, ...chosen },
    });
    void navigate(`/route-plans/${planId}/show`);
  };
  const { horizonDays, visitMinutes } = usualRouteSettings;
  return (
    <ActionDialog
      title="New route plan" open onClose={onClose} submit={submit} submitWord="Make the plan" done="The plan is being made."
      defaults={{ fromOn: addDays(mondayOf(today), 7), days: 5, budgetSeconds: 20, horizonDays, visitMinutes }}
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
    </ActionDialog>
  );
}
