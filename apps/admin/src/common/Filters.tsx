import { Autocomplete, Box, MenuItem, TextField } from '@mui/material';
import { useEffect, useRef, useState } from 'react';
import { useGetList, useGetOne, useListContext } from 'react-admin';
import type { RaRecord } from 'react-admin';

export type FilterWord =
  | { kind: 'text'; field: string; label: string }
  | { kind: 'choice'; field: string; label: string; choices: readonly { id: string; name: string }[]; all?: string }
  | { kind: 'date'; field: string; label: string }
  | { kind: 'record'; field: string; label: string; resource: string; narrowedBy?: string };

/** Whether the reader narrowed the list; the archive switch at its usual place does not count. */
export function anyFilter(values: Record<string, unknown>): boolean {
  return Object.entries(values).some(([key, value]) => value !== undefined && value !== '' && !(key === 'archived' && value === 'false'));
}

/** Filters above a list, always in sight. */
export function Filters({ words }: { words: readonly FilterWord[] }) {
  const { filterValues, setFilters } = useListContext();
  const shown = JSON.stringify(filterValues);
  // What was asked for so far: where the list is slow to show one filter, the next must not undo it.
  const asked = useRef<Record<string, unknown>>(filterValues);
  useEffect(() => {
    asked.current = JSON.parse(shown) as Record<string, unknown>;
  }, [shown]);
  const set = (field: string, value: unknown) => {
    const next: Record<string, unknown> = { ...asked.current, [field]: value };
    if (value === undefined || value === '' || value === null) delete next[field];
    asked.current = next;
    setFilters(next);
  };
  return (
    <Box role="search" sx={{ display: 'flex', flexWrap: 'wrap', gap: '6px 10px', marginBottom: 1.2, '& > *': { flex: { xs: '1 1 150px', sm: '0 1 158px' } } }}>
      {words.map((word) => (
        <Filter key={word.field} word={word} filterValues={filterValues} set={(value) => set(word.field, value)} />
      ))}
    </Box>
  );
}

interface FilterProps {
  word: FilterWord;
  filterValues: Record<string, unknown>;
  set: (value: unknown) => void;
}

function Filter({ word, filterValues, set }: FilterProps) {
  const value: unknown = filterValues[word.field];
  if (word.kind === 'text') return <TextFilter label={word.label} value={typeof value === 'string' ? value : ''} set={set} />;
  if (word.kind === 'date') {
    return (
      <TextField
        type="date"
        label={word.label}
        value={typeof value === 'string' ? value : ''}
        onChange={(event) => set(event.target.value)}
        slotProps={{ inputLabel: { shrink: true } }}
      />
    );
  }
  if (word.kind === 'choice') {
    return (
      <TextField
        select
        label={word.label}
        value={typeof value === 'string' ? value : ''}
        onChange={(event) => set(event.target.value)}
        slotProps={{ inputLabel: { shrink: true }, select: { displayEmpty: true } }}
      >
        <MenuItem value="">{word.all ?? 'All'}</MenuItem>
        {word.choices.map((choice) => (
          <MenuItem key={choice.id} value={choice.id}>
            {choice.name}
          </MenuItem>
        ))}
      </TextField>
    );
  }
  const narrowed = word.narrowedBy ? { [word.narrowedBy]: filterValues[word.narrowedBy] } : {};
  return <RecordFilter word={word} value={typeof value === 'string' ? value : undefined} set={set} narrowed={narrowed} />;
}

const pauseMs = 300;

/** Asks the server only when the reader pauses. */
function TextFilter({ label, value, set }: { label: string; value: string; set: (value: string) => void }) {
  // What is being typed and not yet asked for; null: the field shows the filter.
  const [typed, setTyped] = useState<string | null>(null);
  // The other filters may change while the reader pauses: only the latest `set` knows them.
  const latest = useRef(set);
  useEffect(() => {
    latest.current = set;
  });
  useEffect(() => {
    if (typed === null) return undefined;
    const timer = setTimeout(() => {
      latest.current(typed.trim());
      setTyped(null);
    }, pauseMs);
    return () => clearTimeout(timer);
  }, [typed]);
  return <TextField label={label} type="search" value={typed ?? value} onChange={(event) => setTyped(event.target.value)} />;
}

interface RecordFilterProps {
  word: { label: string; resource: string };
  value: string | undefined;
  set: (value: string | undefined) => void;
  narrowed: Record<string, unknown>;
}

function RecordFilter({ word, value, set, narrowed }: RecordFilterProps) {
  const [typed, setTyped] = useState('');
  const { data = [], isPending } = useGetList<RaRecord>(word.resource, {
    pagination: { page: 1, perPage: 50 },
    sort: { field: 'name', order: 'ASC' },
    filter: { ...narrowed, q: typed },
  });
  const { data: chosen } = useGetOne<RaRecord>(word.resource, { id: value ?? '' }, { enabled: value !== undefined });
  const current = value === undefined ? null : (chosen ?? null);
  return (
    <Autocomplete
      options={data}
      loading={isPending}
      value={current}
      filterOptions={(options) => options}
      getOptionLabel={(option) => String(option['name'])}
      getOptionKey={(option) => String(option.id)}
      isOptionEqualToValue={(one, other) => one.id === other.id}
      onChange={(_event, option) => set(option ? String(option.id) : undefined)}
      onInputChange={(_event, text, reason) => setTyped(reason === 'input' ? text : '')}
      renderInput={(parameters) => <TextField {...parameters} label={word.label} margin="dense" />}
    />
  );
}
