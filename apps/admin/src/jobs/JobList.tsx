import type { Job, JobAsked } from '@lintel/contract';
import { formatInstant, formatWhole, palette } from '@lintel/ui';
import { Box, Button, LinearProgress } from '@mui/material';
import { useNotify, useRefresh } from 'react-admin';
import { useState } from 'react';
import { refusalOf } from '../access/http.js';
import { useApi, useMay } from '../access/hooks.js';
import { ListPage } from '../common/ListPage.js';
import type { Column } from '../common/RecordTable.js';
import { choicesOf } from '../common/words.js';
import { JobStateMark } from './JobStateMark.js';
import { jobChoices, jobWord, runStateWords } from './jobWords.js';

const columns: readonly Column<Job>[] = [
  { key: 'job', label: 'Job', sort: 'job', cell: (job) => jobWord(job.job) },
  { key: 'state', label: 'State', sort: 'state', cell: (job) => <State job={job} /> },
  { key: 'asked', label: 'Asked for', sort: 'createdAt', cell: (job) => formatInstant(job.createdAt) },
  { key: 'ended', label: 'Ended', sort: 'endedAt', wide: true, cell: (job) => (job.endedAt ? formatInstant(job.endedAt) : '–') },
  { key: 'tries', label: 'Tries', align: 'right', wide: true, cell: (job) => job.attempts },
];

function State({ job }: { job: Job }) {
  const share = job.total > 0 ? Math.min(1, job.done / job.total) : 0;
  return (
    <Box sx={{ minWidth: 200 }}>
      <JobStateMark state={job.state} />
      {job.state === 'running' && job.total > 0 ? (
        <>
          <LinearProgress variant="determinate" value={share * 100} aria-label="Progress" sx={{ marginBlock: 0.5 }} />
          {formatWhole(job.done)} of {formatWhole(job.total)}
        </>
      ) : null}
      {job.error ? <Box sx={{ color: job.state === 'failed' ? palette.signalDeep : palette.inkSoft, overflowWrap: 'anywhere', maxWidth: '60ch' }}>{job.error}</Box> : null}
    </Box>
  );
}

/** What runs in the background: how far it is, and why it failed where it did. */
export default function JobList() {
  const mayAct = useMay('write', 'jobs');
  const mayProject = useMay('write', 'projections');
  const { act, busy } = useDeeds();
  return (
    <ListPage<Job>
      title="Jobs"
      facts={<span>Projections, imports and the nightly sweep for overdue safety inspections.</span>}
      actions={
        mayProject ? (
          <Button variant="contained" disabled={busy} onClick={() => void act('/projections', 'The fleet is being computed anew.')}>
            Compute the fleet anew
          </Button>
        ) : null
      }
      resource="jobs"
      columns={columns}
      filters={[
        { kind: 'choice', field: 'state', label: 'State', choices: choicesOf(runStateWords) },
        { kind: 'choice', field: 'job', label: 'Job', choices: jobChoices },
      ]}
      sort={{ field: 'createdAt', order: 'DESC' }}
      everyMs={3000}
      urgent={(job) => job.state === 'failed'}
      {...(mayAct ? { renderDeeds: (job: Job) => <Deeds job={job} act={act} busy={busy} /> } : {})}
      empty={{ title: 'Nothing has run yet', text: 'Jobs appear here when readings arrive, files are brought in, and every night.' }}
    />
  );
}

function useDeeds() {
  const api = useApi();
  const notify = useNotify();
  const refresh = useRefresh();
  const [busy, setBusy] = useState(false);
  const act = async (path: string, done: string) => {
    setBusy(true);
    try {
      await api.send<JobAsked>('POST', path);
      notify(done, { type: 'success' });
      refresh();
    } catch (error) {
      notify(refusalOf(error).detail, { type: 'error' });
    } finally {
      setBusy(false);
    }
  };
  return { act, busy };
}

function Deeds({ job, act, busy }: { job: Job; act: (path: string, done: string) => Promise<void>; busy: boolean }) {
  if (job.state === 'failed' || job.state === 'cancelled') {
    return (
      <Button size="small" disabled={busy} onClick={() => void act(`/jobs/${job.id}/retry`, 'The job will be tried again.')} aria-label={`Try again: ${jobWord(job.job)}`}>
        Try again
      </Button>
    );
  }
  if (job.state === 'done') return null;
  return (
    <Button size="small" disabled={busy || job.cancelRequested} onClick={() => void act(`/jobs/${job.id}/cancel`, 'The job will stop.')} aria-label={`Cancel: ${jobWord(job.job)}`}>
      {job.cancelRequested ? 'Stopping…' : 'Cancel'}
    </Button>
  );
}
