import type { FaultCode } from '@lintel/contract';
import { palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { Link } from 'react-router';
import { useMay } from '../access/hooks.js';
import { archiveFilter, inUse } from '../common/archive.js';
import { listLink } from '../common/links.js';
import { ListPage } from '../common/ListPage.js';
import type { Column } from '../common/RecordTable.js';
import { choicesOf } from '../common/words.js';
import { faultKindWords } from './faultWords.js';

const columns: readonly Column<FaultCode>[] = [
  { key: 'code', label: 'Code', sort: 'code', cell: (code) => code.code },
  { key: 'name', label: 'What it means', sort: 'name', cell: (code) => code.name },
  { key: 'kind', label: 'Kind', sort: 'kind', cell: (code) => faultKindWords[code.kind] },
  { key: 'advice', label: 'Look at first', wide: true, cell: (code) => <Box sx={{ color: palette.inkSoft }}>{code.advice}</Box> },
  { key: 'faults', label: 'Reported', cell: (code) => <Link to={listLink('faults', { faultCodeId: code.id })}>its faults</Link> },
];

/** The company's own fault codes, each filed under one of eight kinds. */
export default function FaultCodeList() {
  const mayAdd = useMay('write', 'fault-codes');
  return (
    <ListPage<FaultCode>
      title="Fault catalogue"
      up={{ to: '/faults', word: 'Faults' }}
      add="Add a code"
      resource="fault-codes"
      columns={columns}
      filters={[{ kind: 'text', field: 'q', label: 'Code or meaning' }, { kind: 'choice', field: 'kind', label: 'Kind', choices: choicesOf(faultKindWords) }, archiveFilter]}
      filterDefaults={inUse}
      sort={{ field: 'code', order: 'ASC' }}
      {...(mayAdd ? { href: (code: FaultCode) => `/fault-codes/${code.id}` } : {})}
      empty={{ title: 'No fault codes yet', text: 'Enter the codes that your doors report, as their controllers show them.' }}
    />
  );
}
