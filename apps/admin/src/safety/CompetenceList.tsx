import type { Competence, CompetenceKindWord } from '@lintel/contract';
import { CompetenceMark, competenceStateWords, formatDate, palette } from '@lintel/ui';
import { Alert, Box, Button } from '@mui/material';
import { useMay } from '../access/hooks.js';
import type { FilterWord } from '../common/Filters.js';
import { ListPage } from '../common/ListPage.js';
import type { Column } from '../common/RecordTable.js';
import { useDialog } from '../common/useDialog.js';
import { choicesOf } from '../common/words.js';
import { RecordCompetenceDialog, RevokeCompetenceDialog } from './CompetenceDialogs.js';
import { competenceKindWords } from './competenceWords.js';

const columns: readonly Column<Competence>[] = [
  { key: 'person', label: 'Person', sort: 'accountName', cell: ({ accountName, accountActive }) => <>{accountName}{accountActive ? null : <Box component="span" sx={{ color: palette.slate }}> (sign-in shut)</Box>}</> },
  { key: 'kind', label: 'Competent for', sort: 'kind', cell: ({ kind }) => competenceKindWords[kind as CompetenceKindWord] },
  {
    key: 'state',
    label: 'State',
    cell: ({ state, revokedOn, revokedReason }) => (
      <>
        <CompetenceMark state={state} />
        {revokedOn ? <Box sx={{ color: palette.inkSoft, fontSize: '0.88rem' }}>from {formatDate(revokedOn)}: {revokedReason}</Box> : null}
      </>
    ),
  },
  { key: 'until', label: 'Valid', sort: 'validUntil', cell: ({ validFrom, validUntil }) => `${formatDate(validFrom)} to ${validUntil ? formatDate(validUntil) : 'no end'}` },
  { key: 'evidence', label: 'Evidence', cell: ({ evidence, note }) => <>{evidence}{note ? <Box sx={{ color: palette.inkSoft, fontSize: '0.88rem' }}>{note}</Box> : null}</> },
  { key: 'issuer', label: 'Issued by', wide: true, cell: ({ issuer }) => issuer },
];

const filters: readonly FilterWord[] = [
  { kind: 'text', field: 'q', label: 'Person, evidence or issuer' },
  { kind: 'choice', field: 'kind', label: 'Competent for', choices: choicesOf(competenceKindWords) },
  { kind: 'choice', field: 'state', label: 'State', choices: choicesOf(competenceStateWords) },
];

/** Who may do what, by whose word and until when. */
export default function CompetenceList() {
  const mayWrite = useMay('write', 'competences');
  const recording = useDialog<true>();
  const revoking = useDialog<Competence>();
  const record = (
    <Button variant="contained" onClick={() => recording.open(true)}>
      Record a competence
    </Button>
  );
  const deeds = {
    renderDeeds: (competence: Competence) =>
      competence.revokedOn ? null : (
        <Button size="small" onClick={() => revoking.open(competence)} aria-label={`Revoke: ${competence.accountName}, ${competenceKindWords[competence.kind]}`}>
          Revoke
        </Button>
      ),
  };
  return (
    <>
      <ListPage<Competence>
        title="Competent persons"
        actions={mayWrite ? record : null}
        resource="competences"
        label="Competences"
        columns={columns}
        filters={filters}
        above={
          <Alert severity="info" icon={false} sx={{ marginBottom: 1.2 }}>
            Once one competence of a kind is recorded, only who has one that holds on the day may complete work of that kind. While none is recorded,
            nobody is held back, and the work says so. Electrical supply is for licensed electricians only, whatever stands here.
          </Alert>
        }
        sort={{ field: 'validUntil', order: 'ASC' }}
        urgent={({ state, accountActive }) => state === 'expired' && accountActive}
        empty={{ title: 'No competence is recorded yet', text: 'Record who may inspect doors and measure forces, with the evidence.', action: mayWrite ? record : null }}
        {...(mayWrite ? deeds : {})}
      />
      {recording.subject ? <RecordCompetenceDialog onClose={recording.close} /> : null}
      {revoking.subject ? <RevokeCompetenceDialog competence={revoking.subject} onClose={revoking.close} /> : null}
    </>
  );
}
