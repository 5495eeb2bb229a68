import type { FindingRow, Site } from '@lintel/contract';
import { OutcomeMark, SeverityMark, formatInstant, palette, severityMeanings } from '@lintel/ui';
import { Alert, Box, Button } from '@mui/material';
import { useState } from 'react';
import { useGetOne } from 'react-admin';
import { Link, useParams } from 'react-router';
import { useMay } from '../access/hooks.js';
import { Trouble, Waiting } from '../common/faces.js';
import { doorLink, siteLink } from '../common/links.js';
import { Columns, Facts, PageHead, Panel, Stack } from '../common/Page.js';
import { useDialog } from '../common/useDialog.js';
import { ResolveFindingDialog } from '../work/FindingDialogs.js';
import { orderLink } from '../work/orderWords.js';

/** One finding: what was seen, where and how bad, its photographs, the order that puts it right, and what became of it. */
export default function FindingPage() {
  const { id = '' } = useParams();
  const resolving = useDialog<FindingRow>();
  const { data: finding, error, isPending, refetch } = useGetOne<FindingRow>('findings', { id });
  const { data: site } = useGetOne<Site>('sites', { id: finding?.siteId ?? '' }, { enabled: finding !== undefined });
  if (error) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending || !finding) return <Waiting what="the finding" />;
  return (
    <>
      <PageHead
        title={`Finding at door ${finding.doorName}`}
        up={{ to: '/findings', word: 'Findings' }}
        facts={
          <>
            <SeverityMark severity={finding.severity} />
            {finding.open ? <span>open</span> : <OutcomeMark outcome="passed" word="put right" />}
            <span>{formatInstant(finding.foundAt, site?.timeZone)}</span>
          </>
        }
        actions={<Deeds finding={finding} onResolve={() => resolving.open(finding)} />}
      />
      <Stack>
        {finding.severity === 'unsafe' && finding.open ? (
          <Alert severity="error">
            {severityMeanings.unsafe} It cannot be resolved by hand: only a work order that tests it again, completed as passed, clears it.
          </Alert>
        ) : null}
        <Columns widths="minmax(0, 1.2fr) minmax(0, 1fr)">
          <Panel title="What was seen">
            <Box sx={{ whiteSpace: 'pre-wrap', overflowWrap: 'anywhere' }}>{finding.text}</Box>
            <Photographs finding={finding} />
          </Panel>
          <Panel title="About it">
            <Facts rows={factsOf(finding, site?.timeZone)} />
          </Panel>
        </Columns>
      </Stack>
      {resolving.subject ? <ResolveFindingDialog finding={resolving.subject} onClose={resolving.close} /> : null}
    </>
  );
}

function Deeds({ finding, onResolve }: { finding: FindingRow; onResolve: () => void }) {
  const mayPlan = useMay('write', 'work-orders');
  const mayResolve = useMay('write', 'findings');
  if (!finding.open) return null;
  const retest = finding.severity === 'unsafe';
  return (
    <>
      {mayResolve && !retest ? (
        <Button variant="outlined" onClick={onResolve}>
          It has been put right…
        </Button>
      ) : null}
      {mayPlan && finding.correctiveId === null ? (
        <Button component={Link} to={`/work-orders/create?findingId=${finding.id}`} variant="contained">
          Make an order to put it right
        </Button>
      ) : null}
      {finding.correctiveId ? (
        <Button component={Link} to={orderLink(finding.correctiveId)} variant="contained">
          Open its order
        </Button>
      ) : null}
    </>
  );
}

function factsOf(finding: FindingRow, timeZone: string | undefined) {
  const { correctiveId, correctiveNumber, workOrderId, workOrderNumber, clearedAt, clearedById, resolution } = finding;
  return [
    { term: 'How bad', value: severityMeanings[finding.severity] },
    { term: 'Door', value: <Link to={doorLink(finding.doorId)}>{finding.doorName}</Link> },
    { term: 'Site', value: <Link to={siteLink(finding.siteId)}>{finding.siteName}</Link> },
    { term: 'Where on it', value: finding.positionName ?? 'no single position' },
    { term: 'Found', value: `${formatInstant(finding.foundAt, timeZone)}${finding.accountName ? `, ${finding.accountName}` : ''}` },
    ...(workOrderId && workOrderNumber ? [{ term: 'Found in', value: <Link to={orderLink(workOrderId)}>No. {workOrderNumber}</Link> }] : []),
    { term: 'To be put right by', value: correctiveId && correctiveNumber ? <Link to={orderLink(correctiveId)}>No. {correctiveNumber}</Link> : 'no order yet' },
    ...(clearedAt
      ? [{ term: 'Put right', value: <>{formatInstant(clearedAt, timeZone)}{clearedById ? <>, by its retest in <Link to={orderLink(clearedById)}>that order</Link></> : null}{resolution ? `: ${resolution}` : ''}</> }]
      : []),
  ];
}

function Photographs({ finding }: { finding: FindingRow }) {
  if (finding.photoIds.length === 0) return <Box sx={{ color: palette.slate, marginTop: 1 }}>No photographs.</Box>;
  return (
    <Box component="ul" aria-label="Photographs" sx={{ listStyle: 'none', display: 'flex', flexWrap: 'wrap', gap: 1, padding: 0, margin: '10px 0 0' }}>
      {finding.photoIds.map((id, index) => (
        <li key={id}>
          <Photograph address={`/api/v1/work-images/${id}`} word={`Photograph ${index + 1} of ${finding.photoIds.length}`} />
        </li>
      ))}
    </Box>
  );
}

/** A photograph may be on a tablet still that had no signal since. */
function Photograph({ address, word }: { address: string; word: string }) {
  const [missing, setMissing] = useState(false);
  if (missing) return <Box sx={{ width: 224, padding: 1, border: `1px dashed ${palette.slateSoft}`, color: palette.slate }}>{word}: not received yet</Box>;
  return (
    <a href={address} target="_blank" rel="noreferrer">
      <img src={address} alt={word} loading="lazy" width={224} height={168} style={{ objectFit: 'cover', display: 'block', background: palette.frostDeep }} onError={() => setMissing(true)} />
    </a>
  );
}
