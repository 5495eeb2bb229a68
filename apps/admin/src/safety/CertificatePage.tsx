import {
  certificateDate, certificateInstant, certificateStateWords, certificateTitle, competenceKindWords, hexGroups, type WholeCertificate,
} from '@lintel/contract';
import { CertificateMark, OutcomeMark, SeverityMark, formatInstant } from '@lintel/ui';
import { Alert, Box, Button, Link as PlainLink } from '@mui/material';
import { Link, useParams } from 'react-router';
import { useAnswer, useMay } from '../access/hooks.js';
import { Trouble, Waiting } from '../common/faces.js';
import { doorLink, siteLink } from '../common/links.js';
import { Columns, Facts, PageHead, Panel, Stack } from '../common/Page.js';
import { useDialog } from '../common/useDialog.js';
import { CertificateChecks, CertificateForces } from './CertificateTables.js';
import { WithdrawCertificateDialog } from './CertificateDialogs.js';

/** One certificate: whether it stands, what it says, its seal, and the paper to take away. */
export default function CertificatePage() {
  const { id = '' } = useParams();
  const withdrawing = useDialog<WholeCertificate>();
  const withdraws = useMay('write', 'certificates');
  const { data, error, isPending, refetch } = useAnswer<WholeCertificate>(`/certificates/${id}`);
  if (error && !data) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending || !data) return <Waiting what="the certificate" />;
  const { content } = data.sealed;
  return (
    <>
      <PageHead
        title={certificateTitle[data.kind]}
        up={{ to: '/certificates', word: 'Certificates' }}
        facts={
          <>
            <OutcomeMark outcome={data.passed ? 'passed' : 'failed'} word={data.passed ? 'passed' : 'not passed'} />
            <CertificateMark state={data.state} />
            <span>
              <Link to={doorLink(data.doorId)}>Door {data.doorName}</Link>, <Link to={siteLink(data.siteId)}>{data.siteName}</Link>
            </span>
            <span>{data.number}</span>
          </>
        }
        actions={
          <>
            <Button variant="contained" component="a" href={`/api/v1/certificates/${id}/paper`} download>
              Download PDF
            </Button>
            <Button variant="outlined" component="a" href={`/api/v1/certificates/${id}/file`} download>
              Download JSON
            </Button>
            {withdraws && data.state !== 'withdrawn' ? (
              <Button variant="outlined" color="error" onClick={() => withdrawing.open(data)}>
                Withdraw
              </Button>
            ) : null}
          </>
        }
      />
      <Stack>
        <Standing certificate={data} />
        <Columns>
          <About certificate={data} />
          <Seal certificate={data} />
        </Columns>
        <Findings certificate={data} />
        <CertificateChecks content={content} />
        {content.forceTests.map((test, index) => (
          <CertificateForces key={`${test.usedOn} ${index}`} test={test} units={content.site.units} />
        ))}
        <Panel title="Cautions">
          {content.cautions.map((caution) => (
            <p key={caution} style={{ margin: '0 0 8px' }}>{caution}</p>
          ))}
        </Panel>
      </Stack>
      {withdrawing.subject ? <WithdrawCertificateDialog certificate={withdrawing.subject} onClose={withdrawing.close} /> : null}
    </>
  );
}

/** What the reader must not miss. */
function Standing({ certificate: { state, passed, withdrawnAt, withdrawnReason } }: { certificate: WholeCertificate }) {
  if (state === 'valid' && passed) return null;
  return (
    <Alert severity={state === 'superseded' ? 'info' : 'warning'} icon={false}>
      {state === 'valid' ? null : <div><strong>{certificateStateWords[state].word}.</strong> {certificateStateWords[state].meaning}</div>}
      {withdrawnAt ? <div>{formatInstant(withdrawnAt)}: {withdrawnReason}</div> : null}
      {passed ? null : <div><strong>This door did not pass.</strong> It has to be put right and tested again.</div>}
    </Alert>
  );
}

function About({ certificate }: { certificate: WholeCertificate }) {
  const { content } = certificate.sealed;
  const { person, nextDue, site, door } = content;
  return (
    <Panel title="What was inspected">
      <Facts
        rows={[
          { term: 'Inspected', value: `${certificateDate(content.inspectedOn)}, completed ${certificateInstant(content.completedAt, site.timeZone)}` },
          { term: 'By', value: person.name },
          ...person.competences.map((one) => ({
            term: `For ${competenceKindWords[one.kind] ?? one.kind}`,
            value: `${one.evidence}, ${one.issuer}${one.validUntil === null ? '' : `; valid until ${certificateDate(one.validUntil)}`}`,
          })),
          ...(person.competences.length === 0 ? [{ term: 'Competence', value: 'none recorded for that day' }] : []),
          { term: 'Next due', value: nextDue === null ? '–' : `${certificateDate(nextDue.on)}: ${nextDue.months} months after it (${nextDue.source})` },
          { term: 'Door', value: `${door.name}, ${door.type}${door.serial === null ? '' : `, serial ${door.serial}`}` },
          { term: 'Owner', value: content.owner.name },
          { term: 'Work order', value: <Link to={`/work-orders/${certificate.workOrderId}/show`}>{`${content.workOrder}: ${content.title}`}</Link> },
          ...(content.signatures.length === 0 ? [] : [{ term: 'Signed by', value: content.signatures.map(({ name, at }) => `${name}, ${certificateInstant(at, site.timeZone)}`).join('; ') }]),
          { term: 'Pictures', value: content.images.length },
        ]}
      />
    </Panel>
  );
}

function Seal({ certificate: { sealed, publicAddress, number } }: { certificate: WholeCertificate }) {
  const code = (text: string) => <Box component="span" sx={{ fontFamily: 'ui-monospace, monospace', fontSize: '0.86rem' }}>{text}</Box>;
  return (
    <Panel title="Seal">
      <Facts
        rows={[
          { term: 'Public page', value: <PlainLink href={`/certificates/${number}`} target="_blank" rel="noreferrer">{publicAddress}</PlainLink> },
          { term: 'SHA-256', value: code(hexGroups(sealed.seal.hash)) },
          { term: 'Key', value: <Link to="/certificate-keys">{code(hexGroups(sealed.content.keyId))}</Link> },
          { term: 'Issued', value: certificateInstant(sealed.content.issuedAt, sealed.content.site.timeZone) },
        ]}
      />
      <p style={{ marginBottom: 0 }}>
        The PDF holds the sealed record. <code>npx lintel verify</code> checks it without a network.
      </p>
    </Panel>
  );
}

function Findings({ certificate: { sealed: { content } } }: { certificate: WholeCertificate }) {
  return (
    <Panel title="Findings">
      {content.findings.length === 0 ? (
        'None.'
      ) : (
        <Box component="ul" sx={{ margin: 0, padding: 0, listStyle: 'none', display: 'grid', gap: 1 }}>
          {content.findings.map(({ severity, text, position, foundAt }) => (
            <Box component="li" key={`${foundAt} ${text}`} sx={{ overflowWrap: 'anywhere' }}>
              <SeverityMark severity={severity} /> {position ? `${position}: ` : ''}{text}
            </Box>
          ))}
        </Box>
      )}
    </Panel>
  );
}
