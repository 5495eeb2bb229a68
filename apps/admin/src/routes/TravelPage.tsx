import type { TravelTaken, TravelTime } from '@lintel/contract';
import { count, formatInstant, formatWhole, palette } from '@lintel/ui';
import { Alert, Box, Button } from '@mui/material';
import { useRef, useState } from 'react';
import { useGetList, useNotify, useRefresh } from 'react-admin';
import { refusalOf } from '../access/http.js';
import { useApi, useMay } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { PageHead, Panel, Stack } from '../common/Page.js';
import { RecordList } from '../common/RecordList.js';
import { RecordTable } from '../common/RecordTable.js';
import type { Column } from '../common/RecordTable.js';
import { useDialog } from '../common/useDialog.js';

/** Characters that the server takes at once. */
const MOST = 5_000_000;

const columns: readonly Column<TravelTime>[] = [
  { key: 'from', label: 'From', sort: 'fromName', cell: ({ fromName }) => fromName },
  { key: 'to', label: 'To', sort: 'toName', cell: ({ toName }) => toName },
  { key: 'minutes', label: 'Minutes', align: 'right', sort: 'minutes', cell: ({ minutes }) => minutes },
  { key: 'km', label: 'Kilometres', align: 'right', sort: 'km', cell: ({ km }) => km ?? 'estimated' },
  { key: 'given', label: 'Given', sort: 'givenAt', wide: true, cell: ({ givenAt }) => formatInstant(givenAt) },
];

/** The company's own list of travel times: what is loaded and since when, a file with more, or away with it. */
export default function TravelPage() {
  const mayWrite = useMay('write', 'travel-times');
  const { data, total } = useGetList<TravelTime>('travel-times', { pagination: { page: 1, perPage: 1 }, sort: { field: 'givenAt', order: 'DESC' }, meta: { count: true } });
  const newest = data?.[0];
  const clearing = useDialog<true>();
  const { take, busy, answer, refusal } = useFile();
  return (
    <>
      <PageHead
        title="Travel times"
        facts={<span>{newest ? `${formatWhole(total ?? 0)} ways given, the last on ${formatInstant(newest.givenAt)}.` : 'None given: travel is asked of the routing server where there is one, else estimated.'}</span>}
        actions={mayWrite ? <>{newest ? <Button variant="outlined" onClick={() => clearing.open(true)}>Clear the list…</Button> : null}<FileButton take={take} busy={busy} /></> : null}
      />
      <Stack>
        {refusal ? <Alert severity="error">{refusal}</Alert> : null}
        {answer ? <Taken answer={answer} /> : null}
        <Panel>
          A file in CSV with the header <code>from,to,minutes,km</code>, a line for each way; the ends by the name of a site or of a technician (the home). Kilometres may be left out.
          A way that the list has already is replaced. Plans take these before anything a routing server says.
        </Panel>
        <RecordList<TravelTime>
          resource="travel-times" label="Travel times" columns={columns} sort={{ field: 'fromName', order: 'ASC' }} filters={[{ kind: 'text', field: 'q', label: 'Either end' }]}
          empty={{ title: 'No travel times are given', text: 'Bring in a file where the estimate is too far from the roads: ferries, mountains, city traffic.' }}
        />
      </Stack>
      {clearing.subject ? <ClearDialog ways={total ?? 0} onClose={clearing.close} /> : null}
    </>
  );
}

function useFile() {
  const api = useApi();
  const refresh = useRefresh();
  const notify = useNotify();
  const [busy, setBusy] = useState(false);
  const [answer, setAnswer] = useState<TravelTaken | null>(null);
  const [refusal, setRefusal] = useState<string | null>(null);
  const take = async (file: File) => {
    setBusy(true);
    setAnswer(null);
    setRefusal(null);
    try {
      const text = await file.text();
      if (text.length === 0 || text.length > MOST) throw new Error(text.length === 0 ? 'The file is empty.' : `The file has more than ${formatWhole(MOST)} characters: bring it in in parts.`);
      const taken = await api.send<TravelTaken>('POST', '/travel-times', { text });
      setAnswer(taken);
      notify(`${count(taken.accepted, 'way')} taken in.`, { type: taken.refusedLines > 0 ? 'warning' : 'success' });
      refresh();
    } catch (error) {
      setRefusal(refusalOf(error).detail);
    } finally {
      setBusy(false);
    }
  };
  return { take, busy, answer, refusal };
}

function FileButton({ take, busy }: { take: (file: File) => Promise<void>; busy: boolean }) {
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <input
        ref={input} type="file" accept=".csv,text/csv,text/plain" hidden aria-label="File with travel times"
        onChange={(event) => {
          const [file] = event.target.files ?? [];
          if (file) void take(file);
          // The same file, once mended, can be chosen again.
          event.target.value = '';
        }}
      />
      <Button variant="contained" disabled={busy} onClick={() => input.current?.click()}>{busy ? 'Taking it in…' : 'Bring in a file'}</Button>
    </>
  );
}

type Fault = TravelTaken['refused'][number] & { id: string };
const faultColumns: readonly Column<Fault>[] = [
  { key: 'line', label: 'Line', cell: ({ line }) => line },
  { key: 'field', label: 'Field', cell: ({ field }) => field },
  { key: 'why', label: 'Why', cell: ({ message }) => message },
];

/** What became of the file: lines that could not be used are named, the others are in. */
function Taken({ answer: { accepted, refusedLines, refused } }: { answer: TravelTaken }) {
  if (refusedLines === 0) return <Alert severity="success">{count(accepted, 'way')} taken in; every line could be used.</Alert>;
  const faults = new Set(refused.map(({ line }) => line)).size;
  return (
    <Panel title="Lines that could not be used" note={`${formatWhole(refusedLines)}; ${count(accepted, 'way')} taken in`} flush>
      {faults < refusedLines ? <Box sx={{ padding: '4px 16px', color: palette.inkSoft }}>The first {faults} of them are listed.</Box> : null}
      <Box sx={{ maxHeight: 320, overflowY: 'auto' }} tabIndex={0} role="group" aria-label="Lines that could not be used, listed">
        <RecordTable<Fault> label="Refused lines" columns={faultColumns} records={refused.map((fault, index) => ({ ...fault, id: String(index) }))} />
      </Box>
    </Panel>
  );
}

function ClearDialog({ ways, onClose }: { ways: number; onClose: () => void }) {
  const api = useApi();
  return (
    <ActionDialog title="Clear the list of travel times" open grave onClose={onClose} submit={() => api.send('DELETE', '/travel-times')} submitWord="Clear it" done="Cleared.">
      {count(ways, 'way')} are forgotten for good; plans made from now on ask the routing server where there is one, else estimate. Plans that exist keep their times.
    </ActionDialog>
  );
}
