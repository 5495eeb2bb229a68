import type { FileImport } from '@lintel/contract';
import { formatBytes, formatInstant, formatWhole, palette } from '@lintel/ui';
import { Alert, Box, Button, LinearProgress, Typography } from '@mui/material';
import { useState } from 'react';
import { useLocation, useParams } from 'react-router';
import { refusalOf } from '../access/http.js';
import { useAnswer, useApi, useMay } from '../access/hooks.js';
import { Trouble, Waiting } from '../common/faces.js';
import { PageHead, Panel, Stack } from '../common/Page.js';
import { ended, importKindWords, importStateWords } from './importWords.js';
import { ImportMappingForm } from './ImportMappingForm.js';
import { RefusalTable } from './RefusalTable.js';
import type { Sample } from './sample.js';

/** One file: its columns are named, then it is read, then the report says what became of every line. */
export default function ImportPage() {
  const { id = '' } = useParams();
  const { state } = useLocation();
  const sample = (state as { sample?: Sample } | null)?.sample ?? null;
  const [settled, setSettled] = useState(false);
  const { data: item, error, isPending, refetch } = useAnswer<FileImport>(`/imports/${id}`, { everyMs: settled ? false : 1000 });
  if (item && ended(item.state) !== settled) setSettled(ended(item.state));
  if (error && !item) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending || !item) return <Waiting what="the import" />;
  return (
    <>
      <PageHead
        title={item.fileName}
        up={{ to: '/imports', word: 'Imports' }}
        facts={
          <>
            <span>{importKindWords[item.kind]}</span>
            <span>{formatBytes(item.sizeBytes)}</span>
            <span>
              {formatInstant(item.createdAt)}
              {item.accountName ? ` by ${item.accountName}` : ''}
            </span>
            <strong>{importStateWords[item.state]}</strong>
          </>
        }
        actions={<Cancel item={item} then={() => void refetch()} />}
      />
      {item.state === 'uploaded' ? (
        <ImportMappingForm item={item} sample={sample} then={() => void refetch()} />
      ) : (
        <Stack>
          <Progress item={item} />
          {item.refused > 0 ? <RefusalTable importId={item.id} kind={item.kind} refused={item.refused} /> : null}
        </Stack>
      )}
    </>
  );
}

function Cancel({ item, then }: { item: FileImport; then: () => void }) {
  const api = useApi();
  const mayCancel = useMay('write', 'imports');
  const [refusal, setRefusal] = useState<string | null>(null);
  if (ended(item.state) || !mayCancel) return null;
  const cancel = async () => {
    try {
      await api.send('POST', `/imports/${item.id}/cancel`);
      then();
    } catch (error) {
      setRefusal(refusalOf(error).detail);
    }
  };
  return (
    <>
      {refusal ? <span role="alert">{refusal}</span> : null}
      <Button variant="outlined" onClick={() => void cancel()} disabled={item.cancelRequested}>
        {item.cancelRequested ? 'Stopping…' : 'Cancel the import'}
      </Button>
    </>
  );
}

function Progress({ item }: { item: FileImport }) {
  const share = item.sizeBytes === 0 ? 0 : Math.min(1, item.readBytes / item.sizeBytes);
  const running = !ended(item.state);
  return (
    <Panel title={running ? 'Progress' : 'Report'}>
      {running ? (
        <Box sx={{ maxWidth: 560, marginBottom: 1.5 }}>
          <LinearProgress variant={item.state === 'running' ? 'determinate' : 'indeterminate'} value={share * 100} aria-label="Read" />
          <Typography sx={{ marginTop: 0.5 }}>
            {item.state === 'running' ? `${Math.round(share * 100)} % read` : 'It starts as soon as the worker is free.'}
          </Typography>
        </Box>
      ) : null}
      {item.error ? (
        <Alert severity="error" sx={{ marginBottom: 1.5 }}>
          {item.error}
        </Alert>
      ) : null}
      {item.state === 'cancelled' ? <Typography sx={{ marginBottom: 1 }}>The import was cancelled. What had been taken until then stays; the same file can be brought in again.</Typography> : null}
      <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: '10px 34px' }}>
        <Count number={item.lines} words="lines read" />
        <Count number={item.accepted} words="taken" />
        <Count number={item.unchanged} words="known already" />
        <Count number={item.refused} words="refused" urgent={item.refused > 0} />
      </Box>
    </Panel>
  );
}

function Count({ number, words, urgent = false }: { number: number; words: string; urgent?: boolean }) {
  return (
    <Box sx={{ color: urgent ? palette.signalDeep : palette.ink }}>
      <Box sx={{ fontSize: '1.6rem', fontWeight: 750, lineHeight: 1.1 }}>{formatWhole(number)}</Box>
      {words}
    </Box>
  );
}
