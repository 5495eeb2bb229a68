import type { ChecklistStep, Position } from '@lintel/contract';
import { palette, stepKindWords } from '@lintel/ui';
import { Box, Button, Typography } from '@mui/material';
import type { ReactNode } from 'react';
import { ArrayInput, BooleanInput, FormDataConsumer, NumberInput, SelectArrayInput, SelectInput, SimpleFormIterator, TextArrayInput, TextInput, useGetList } from 'react-admin';
import { choicesOf, partKindWords } from '../common/words.js';
import { stepFields } from './stepFields.js';

const row = {
  '& .RaSimpleFormIterator-form': { flex: 1, minWidth: 0 },
  // Up, down and remove are there without a pointer too.
  '& .RaSimpleFormIterator-action': { visibility: 'visible' },
  '& .RaSimpleFormIterator-line': { paddingBlock: 1, borderBottom: `1px solid ${palette.lineSoft}` },
};

/** The steps of a task: each kind of step with the fields that it has. Positions to choose from are those of the door type. */
export function ChecklistInput({ doorTypeId }: { doorTypeId: string | undefined }) {
  const { data: positions = [] } = useGetList<Position>(
    'positions',
    { filter: { doorTypeId, archived: 'false' }, pagination: { page: 1, perPage: 100 }, sort: { field: 'ordinal', order: 'ASC' } },
    { enabled: doorTypeId !== undefined },
  );
  return (
    <Box sx={{ width: '100%', marginTop: 1.5, borderTop: `1px solid ${palette.line}`, paddingTop: 1.5 }}>
      <Typography variant="h3">Checklist</Typography>
      <Typography sx={{ color: palette.slate }}>
        The usual cautions come before the first step of every order; steps marked as caution take their place. An inspection tests every safety device of the door, also where no step here names it.
      </Typography>
      <ArrayInput source="checklist" label={false}>
        <SimpleFormIterator fullWidth disableClear addButton={<Button variant="outlined">Add a step</Button>} sx={row}>
          <FormDataConsumer<Record<string, unknown>>>{({ scopedFormData }) => <Step step={(scopedFormData ?? {}) as Partial<ChecklistStep>} positions={positions} />}</FormDataConsumer>
        </SimpleFormIterator>
      </ArrayInput>
    </Box>
  );
}

function Step({ step, positions }: { step: Partial<ChecklistStep>; positions: readonly Position[] }) {
  const has = new Set<string>(step.kind ? stepFields[step.kind] : []);
  return (
    <Box sx={{ width: '100%' }}>
      <Line columns="190px minmax(0, 1fr)">
        <SelectInput source="kind" label="Step" choices={choicesOf(stepKindWords)} isRequired helperText={false} />
        <TextInput source="text" label="What" isRequired multiline helperText={false} />
      </Line>
      {has.has('unit') ? (
        <Line columns="repeat(4, minmax(0, 1fr))">
          <TextInput source="unit" label="Unit" isRequired helperText={false} />
          <NumberInput source="lower" label="At least" helperText={false} />
          <NumberInput source="upper" label="At most" helperText={false} />
          <NumberInput source="resolution" label="Reads in steps of" min={0} helperText={false} />
        </Line>
      ) : null}
      {has.has('options') ? (
        <Line columns="1fr 1fr">
          <TextArrayInput source="options" label="Options" fullWidth helperText="Type one, then Enter; without any it is answered in words" />
          <SelectArrayInput source="failing" label="Of these, fail" choices={[...new Set([...(step.options ?? []), ...(step.failing ?? [])])].map((option) => ({ id: option, name: option }))} />
        </Line>
      ) : null}
      {has.has('least') ? (
        <Line columns="190px 1fr">
          <NumberInput source="least" label="Photographs at least" min={1} step={1} helperText={false} />
        </Line>
      ) : null}
      {has.has('partKind') ? (
        <Line columns="1fr 1fr">
          <SelectInput source="partKind" label="At every" choices={choicesOf(partKindWords)} emptyText="No kind of position" helperText={false} />
          <SelectInput source="positionId" label="Or at this position alone" choices={positions.map(({ id, name }) => ({ id, name }))} emptyText="No single position" helperText={false} />
        </Line>
      ) : null}
      <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: '0 18px', '& > *': { width: 'auto', flex: '0 0 auto' } }}>
        {has.has('caution') ? <BooleanInput source="caution" label="Caution, confirmed first" helperText={false} fullWidth={false} /> : null}
        {has.has('safety') ? <BooleanInput source="safety" label="Safety check" helperText={false} fullWidth={false} /> : null}
        {has.has('optional') ? <BooleanInput source="optional" label="May be left out" helperText={false} fullWidth={false} /> : null}
      </Box>
    </Box>
  );
}

function Line({ columns, children }: { columns: string; children: ReactNode }) {
  return <Box sx={{ display: 'grid', gridTemplateColumns: { xs: 'minmax(0, 1fr)', sm: columns }, gap: '0 12px', width: '100%' }}>{children}</Box>;
}
