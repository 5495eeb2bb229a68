import { lengthIn, lengthToMm, lengthUnit } from '@lintel/ui';
import type { Units } from '@lintel/ui';
import { TZDate } from '@date-fns/tz';
import { TextField } from '@mui/material';
import { AutocompleteInput, NumberInput, ReferenceInput, TextInput, required, useInput } from 'react-admin';
import type { NumberInputProps } from 'react-admin';

/** A length kept in millimetres, typed in the unit that the site uses. */
export function LengthInput({ units, label, ...rest }: NumberInputProps & { units: Units; label: string }) {
  return (
    <NumberInput
      {...rest}
      label={`${label}, ${lengthUnit(units)}`}
      format={(mm: number | '' | null | undefined) => (typeof mm === 'number' ? lengthIn(units, mm) : '')}
      parse={(text: string) => (text === '' ? null : lengthToMm(units, Number(text)))}
    />
  );
}

/** Wall-clock time in a zone, `YYYY-MM-DDTHH:mm`, → the instant in UTC. */
export function instantFromWall(wall: string, timeZone: string): string {
  const [year = 0, month = 1, day = 1, hour = 0, minute = 0] = wall.split(/[-T:]/).map(Number);
  return new Date(new TZDate(year, month - 1, day, hour, minute, 0, 0, timeZone).getTime()).toISOString();
}

/** The inverse, for a field of type datetime-local. */
export function wallFromInstant(instant: string, timeZone: string): string {
  const local = new TZDate(new Date(instant).getTime(), timeZone);
  const two = (value: number) => String(value).padStart(2, '0');
  return `${local.getFullYear()}-${two(local.getMonth() + 1)}-${two(local.getDate())}T${two(local.getHours())}:${two(local.getMinutes())}`;
}

/** An instant, typed as the clock at the site shows it. */
export function InstantInput({ source, label, timeZone, needed = true }: { source: string; label: string; timeZone: string; needed?: boolean }) {
  const { field, fieldState } = useInput({ source, ...(needed ? { validate: required() } : {}) });
  const value = typeof field.value === 'string' && field.value !== '' ? wallFromInstant(field.value, timeZone) : '';
  return (
    <TextField
      type="datetime-local"
      label={label}
      required={needed}
      value={value}
      name={field.name}
      onBlur={field.onBlur}
      onChange={(event) => field.onChange(event.target.value === '' ? '' : instantFromWall(event.target.value, timeZone))}
      error={fieldState.invalid}
      helperText={fieldState.error?.message ?? `Clock at the site, ${timeZone}`}
      slotProps={{ inputLabel: { shrink: true } }}
    />
  );
}

/** One record of another resource, found by typing. */
export function RecordInput({ source, resource, label, needed = false, filter = {} }: { source: string; resource: string; label: string; needed?: boolean; filter?: Record<string, unknown> }) {
  return (
    <ReferenceInput source={source} reference={resource} filter={filter} sort={{ field: 'name', order: 'ASC' }} perPage={50}>
      <AutocompleteInput
        label={label}
        optionText="name"
        filterToQuery={(text: string) => ({ q: text })}
        {...(needed ? { validate: required() } : {})}
      />
    </ReferenceInput>
  );
}

export function NoteInput({ label = 'Note', source = 'note', needed = false }: { label?: string; source?: string; needed?: boolean }) {
  return <TextInput source={source} label={label} multiline minRows={2} {...(needed ? { validate: required() } : {})} />;
}

/** A whole number of cycles. */
export function CyclesInput({ source, label, needed = false, helperText }: { source: string; label: string; needed?: boolean; helperText?: string }) {
  return <NumberInput source={source} label={label} min={0} step={1} helperText={helperText ?? false} {...(needed ? { validate: required() } : {})} />;
}
