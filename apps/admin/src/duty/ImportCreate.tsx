import type { FileImport, ImportKind } from '@lintel/contract';
import { formatBytes, palette } from '@lintel/ui';
import { Alert, Box, Button, LinearProgress, MenuItem, TextField, Typography } from '@mui/material';
import { useRef, useState } from 'react';
import type { DragEvent } from 'react';
import { useNavigate } from 'react-router';
import { query, refusalOf } from '../access/http.js';
import { upload } from '../access/upload.js';
import { PageHead, Panel, Stack } from '../common/Page.js';
import { choicesOf } from '../common/words.js';
import { importKindWords } from './importWords.js';
import { SampleTable } from './SampleTable.js';
import { sampleOf } from './sample.js';
import type { Sample } from './sample.js';

/** Chooses a file, shows its first lines, and uploads it with a progress bar; its columns are named on the next page. */
export default function ImportCreate() {
  const [kind, setKind] = useState<ImportKind>('readings');
  const [chosen, setChosen] = useState<{ file: File; sample: Sample } | null>(null);
  const { send, stop, share, refusal } = useUpload();
  const choose = async (file: File | undefined) => {
    if (file) setChosen({ file, sample: await sampleOf(file) });
  };
  return (
    <>
      <PageHead title="Bring a file in" up={{ to: '/imports', word: 'Imports' }} />
      <Stack>
        <Panel>
          <Box sx={{ maxWidth: 620 }}>
            <TextField select label="What the file holds" value={kind} onChange={(event) => setKind(event.target.value as ImportKind)} disabled={share !== null}>
              {choicesOf(importKindWords).map(({ id, name }) => (
                <MenuItem key={id} value={id}>
                  {name}
                </MenuItem>
              ))}
            </TextField>
            <FilePlace chosen={chosen?.file ?? null} choose={(file) => void choose(file)} locked={share !== null} />
            {share === null ? null : (
              <Box sx={{ marginTop: 1.5 }}>
                <LinearProgress variant="determinate" value={share * 100} aria-label="Uploaded" />
                <Typography sx={{ marginTop: 0.5 }}>{Math.round(share * 100)} % uploaded</Typography>
              </Box>
            )}
            {refusal ? <Alert severity="error" sx={{ marginTop: 1.5 }}>{refusal}</Alert> : null}
            <Box sx={{ display: 'flex', gap: 1, marginTop: 2 }}>
              <Button variant="contained" disabled={!chosen || share !== null} onClick={() => chosen && send(kind, chosen.file, chosen.sample)}>
                Upload
              </Button>
              {share === null ? null : <Button onClick={stop}>Stop the upload</Button>}
            </Box>
          </Box>
        </Panel>
        {chosen ? (
          <Panel title="Its first lines" note="As they stand in the file; its columns are named in the next step">
            <SampleTable label="First lines of the file" header={chosen.sample.header} rows={chosen.sample.rows} />
          </Panel>
        ) : null}
      </Stack>
    </>
  );
}

function useUpload() {
  const navigate = useNavigate();
  const [share, setShare] = useState<number | null>(null);
  const [refusal, setRefusal] = useState<string | null>(null);
  const stop = useRef<() => void>(() => undefined);
  const send = (kind: ImportKind, file: File, sample: Sample) => {
    setRefusal(null);
    setShare(0);
    const running = upload<FileImport>(`/imports${query({ kind, fileName: file.name })}`, file, setShare);
    stop.current = running.cancel;
    running.done
      .then((made) => navigate(`/imports/${made.id}/show`, { state: { sample } }))
      .catch((error: unknown) => {
        setShare(null);
        setRefusal(refusalOf(error).detail);
      });
  };
  return { send, stop: () => stop.current(), share, refusal };
}

function FilePlace({ chosen, choose, locked }: { chosen: File | null; choose: (file: File | undefined) => void; locked: boolean }) {
  const input = useRef<HTMLInputElement | null>(null);
  const drop = (event: DragEvent) => {
    event.preventDefault();
    if (!locked) choose(event.dataTransfer.files[0]);
  };
  return (
    <Box onDragOver={(event) => event.preventDefault()} onDrop={drop} sx={{ border: `2px dashed ${palette.slateSoft}`, borderRadius: '3px', padding: '18px 16px', marginTop: 1, display: 'flex', flexWrap: 'wrap', alignItems: 'center', gap: '6px 14px' }}>
      <Button variant="outlined" disabled={locked} onClick={() => input.current?.click()}>
        Choose a CSV file
      </Button>
      <input ref={input} type="file" accept=".csv,.txt,text/csv" hidden aria-label="CSV file" onChange={(event) => choose(event.target.files?.[0])} />
      <span>{chosen ? `${chosen.name}, ${formatBytes(chosen.size)}` : 'or drop it here. Its first line names the columns.'}</span>
    </Box>
  );
}
