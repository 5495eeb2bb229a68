import { importFields } from '@lintel/contract';
import type { FileImport, ImportField, ImportKind, ImportMapping } from '@lintel/contract';
import { palette } from '@lintel/ui';
import { Alert, Autocomplete, Box, Button, MenuItem, TextField, Typography } from '@mui/material';
import { useState } from 'react';
import { refusalOf } from '../access/http.js';
import { useApi, useMay } from '../access/hooks.js';
import { Panel, Stack } from '../common/Page.js';
import { importFieldWord } from './importWords.js';
import { SampleTable } from './SampleTable.js';
import type { Sample } from './sample.js';

type DateOrder = NonNullable<ImportMapping['dateOrder']>;

const orderWords: Record<DateOrder, string> = {
  'year-month-day': 'year, month, day',
  'day-month-year': 'day, month, year',
  'month-day-year': 'month, day, year',
};
const zones = Intl.supportedValuesOf('timeZone');

interface ImportMappingFormProps {
  item: FileImport;
  sample: Sample | null;
  then: () => void;
}

/** Says which column of the file holds what; remembered for the next file with the same first line. */
export function ImportMappingForm({ item, sample, then }: ImportMappingFormProps) {
  const api = useApi();
  const mayStart = useMay('write', 'imports');
  const [mapping, setMapping] = useState<ImportMapping>(item.mapping ?? { columns: {} });
  const [refusal, setRefusal] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const fields = importFields[item.kind];
  const missing = fields.filter(({ field, needed }) => needed && !mapping.columns[field]);
  const start = async () => {
    setBusy(true);
    setRefusal(null);
    try {
      await api.send('POST', `/imports/${item.id}/start`, { mapping });
      then();
    } catch (error) {
      setRefusal(refusalOf(error).detail);
    } finally {
      setBusy(false);
    }
  };
  return (
    <Stack>
      <Panel title="Which column holds what" note="Suggested from the file’s first line; it is remembered for the next file like this">
        <Box sx={{ display: 'grid', gap: '6px 20px', gridTemplateColumns: { xs: '1fr', md: '1fr 1fr' } }}>
          {fields.map((field) => (
            <ColumnChoice kind={item.kind}
              key={field.field}
              field={field}
              header={item.header}
              value={mapping.columns[field.field] ?? ''}
              set={(column) => setMapping({ ...mapping, columns: withColumn(mapping.columns, field.field, column) })}
            />
          ))}
        </Box>
        <Reading mapping={mapping} set={setMapping} readings={item.kind === 'readings'} />
        {refusal ? <Alert severity="error" sx={{ marginTop: 1.5 }}>{refusal}</Alert> : null}
        {missing.length > 0 ? (
          <Typography sx={{ marginTop: 1.5, color: palette.signalDeep }}>Still to be named: {missing.map(({ holds }) => holds).join('; ')}.</Typography>
        ) : null}
        <Button variant="contained" sx={{ marginTop: 1.5 }} disabled={missing.length > 0 || busy || !mayStart} onClick={() => void start()}>
          Read the file in
        </Button>
      </Panel>
      <Preview kind={item.kind} mapping={mapping} fields={fields} sample={sample} />
    </Stack>
  );
}

/** A column holds one thing: naming it for a field takes it away from any other, e.g. from a wrong guess. */
export function withColumn(columns: Record<string, string>, field: string, column: string): Record<string, string> {
  const rest = Object.fromEntries(Object.entries(columns).filter(([other, held]) => other !== field && held !== column));
  return column === '' ? rest : { ...rest, [field]: column };
}

function ColumnChoice({ kind, field, header, value, set }: { kind: ImportKind; field: ImportField; header: readonly string[]; value: string; set: (column: string) => void }) {
  return (
    <TextField
      select
      label={`${importFieldWord(field.field, kind)}${field.needed ? ' (needed)' : ''}`}
      helperText={field.holds}
      value={header.includes(value) ? value : ''}
      onChange={(event) => set(event.target.value)}
      slotProps={{ inputLabel: { shrink: true }, select: { displayEmpty: true } }}
    >
      <MenuItem value="">not in this file</MenuItem>
      {header.map((column) => (
        <MenuItem key={column} value={column}>
          {column}
        </MenuItem>
      ))}
    </TextField>
  );
}

/** How dates, times and counters of the file are to be understood. */
function Reading({ mapping, set, readings }: { mapping: ImportMapping; set: (mapping: ImportMapping) => void; readings: boolean }) {
  const without = (key: 'timeZone' | 'dateOrder' | 'modulus') => {
    const { [key]: _was, ...rest } = mapping;
    return rest;
  };
  return (
    <Box sx={{ display: 'grid', gap: '6px 20px', gridTemplateColumns: { xs: '1fr', md: '1fr 1fr 1fr' }, marginTop: 1.5, borderTop: `1px solid ${palette.line}`, paddingTop: 1 }}>
      <TextField
        select
        label="Order in dates like 03/04/2026"
        value={mapping.dateOrder ?? ''}
        onChange={(event) => set(event.target.value === '' ? without('dateOrder') : { ...mapping, dateOrder: event.target.value as DateOrder })}
        slotProps={{ inputLabel: { shrink: true }, select: { displayEmpty: true } }}
        helperText="Dates such as 2026-04-03 are read whatever is chosen"
      >
        <MenuItem value="">not needed</MenuItem>
        {Object.entries(orderWords).map(([order, words]) => (
          <MenuItem key={order} value={order}>
            {words}
          </MenuItem>
        ))}
      </TextField>
      <Autocomplete
        options={zones}
        value={mapping.timeZone ?? null}
        onChange={(_event, zone) => set(zone ? { ...mapping, timeZone: zone } : without('timeZone'))}
        renderInput={(parameters) => <TextField {...parameters} label="Time zone of the times" margin="dense" helperText="Left empty: that of each door’s site" />}
      />
      {readings ? (
        <TextField
          type="number"
          label="Counters roll over at"
          value={mapping.modulus ?? ''}
          onChange={(event) => set(event.target.value === '' ? without('modulus') : { ...mapping, modulus: Number(event.target.value) })}
          helperText="Left empty: what each counter says of itself"
        />
      ) : null}
    </Box>
  );
}

/** The first lines as they will be understood. */
function Preview({ kind, mapping, fields, sample }: { kind: ImportKind; mapping: ImportMapping; fields: readonly ImportField[]; sample: Sample | null }) {
  if (!sample) return null;
  const used = fields.filter(({ field }) => mapping.columns[field]);
  const places = used.map(({ field }) => sample.header.indexOf(mapping.columns[field] ?? ''));
  return (
    <Panel title="The first lines, as they will be read">
      {used.length === 0 ? (
        <Typography>No column has been named yet.</Typography>
      ) : (
        <SampleTable label="Preview" header={used.map(({ field }) => importFieldWord(field, kind))} rows={sample.rows.map((row) => places.map((place) => row[place] ?? ''))} />
      )}
    </Panel>
  );
}
