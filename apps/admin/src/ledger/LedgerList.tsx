import type { LedgerEntry } from '@lintel/contract';
import { formatInstant, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { Link } from 'react-router';
import type { FilterWord } from '../common/Filters.js';
import { PageHead } from '../common/Page.js';
import { RecordList } from '../common/RecordList.js';
import type { Column } from '../common/RecordTable.js';
import { ChainBand } from './ChainBand.js';
import { actionWords, detailWords } from './ledgerWords.js';

/** Where the subject of an entry can be looked at; others have no page of their own. */
const pages: Record<string, (id: string) => string> = {
  door: (id) => `/doors/${id}/show`,
  site: (id) => `/sites/${id}/show`,
  'door-type': (id) => `/door-types/${id}/show`,
  plan: (id) => `/plans/${id}/show`,
  import: (id) => `/imports/${id}/show`,
  'work-order': (id) => `/work-orders/${id}/show`,
  manual: (id) => `/manuals/${id}`,
};

function Subject({ entry }: { entry: LedgerEntry }) {
  const page = pages[entry.subjectKind];
  const word = entry.subjectKind.replaceAll(/[-_]/g, ' ');
  if (!page || entry.subjectId === null) return <>{word}</>;
  return <Link to={page(entry.subjectId)}>{word}</Link>;
}

const columns: readonly Column<LedgerEntry>[] = [
  { key: 'sequence', label: 'Entry', sort: 'sequence', cell: (entry) => entry.sequence },
  { key: 'at', label: 'When', sort: 'at', cell: (entry) => <Box component="span" sx={{ whiteSpace: 'nowrap' }}>{formatInstant(entry.at)}</Box> },
  { key: 'who', label: 'Who', cell: (entry) => entry.accountName ?? entry.actor },
  { key: 'action', label: 'Did what', cell: (entry) => actionWords(entry.action) },
  { key: 'subject', label: 'To', cell: (entry) => <Subject entry={entry} /> },
  { key: 'detail', label: 'Details', cell: (entry) => <Box sx={{ color: palette.inkSoft, overflowWrap: 'anywhere', maxWidth: '80ch' }}>{detailWords(entry.detail) || '–'}</Box> },
];

const filters: readonly FilterWord[] = [{ kind: 'record', field: 'accountId', label: 'Who', resource: 'people' }];

/** The ledger: who did what, newest first; it is only ever added to. */
export default function LedgerList() {
  return (
    <>
      <PageHead title="Ledger" facts={<span>Who did what. Entries are only ever added, each sealed over the one before.</span>} />
      <Box sx={{ marginBottom: 2 }}>
        <ChainBand />
      </Box>
      <RecordList<LedgerEntry>
        resource="ledger"
        label="Ledger"
        columns={columns}
        filters={filters}
        sort={{ field: 'sequence', order: 'DESC' }}
        empty={{ title: 'Nothing has been done yet', text: 'Every change that a person or a job makes is written here.' }}
      />
    </>
  );
}
