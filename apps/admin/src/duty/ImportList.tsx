import type { FileImport } from '@lintel/contract';
import { formatBytes, formatInstant, formatWhole, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { ListPage } from '../common/ListPage.js';
import type { Column } from '../common/RecordTable.js';
import { choicesOf } from '../common/words.js';
import { importKindWords, importStateWords } from './importWords.js';

const columns: readonly Column<FileImport>[] = [
  { key: 'file', label: 'File', sort: 'fileName', cell: (item) => item.fileName },
  { key: 'kind', label: 'Holds', cell: (item) => importKindWords[item.kind] },
  { key: 'at', label: 'Brought in', sort: 'createdAt', cell: (item) => formatInstant(item.createdAt) },
  { key: 'who', label: 'By', wide: true, cell: (item) => item.accountName ?? 'command line' },
  { key: 'state', label: 'State', sort: 'state', cell: (item) => <Box component="span" sx={item.state === 'failed' ? { color: palette.signalDeep, fontWeight: 700 } : {}}>{importStateWords[item.state]}</Box> },
  { key: 'size', label: 'Size', align: 'right', wide: true, cell: (item) => formatBytes(item.sizeBytes) },
  { key: 'accepted', label: 'Taken', align: 'right', cell: (item) => formatWhole(item.accepted) },
  { key: 'unchanged', label: 'Known already', align: 'right', cell: (item) => formatWhole(item.unchanged) },
  { key: 'refused', label: 'Refused', align: 'right', cell: (item) => <Box component="span" sx={item.refused > 0 ? { color: palette.signalDeep, fontWeight: 700 } : {}}>{formatWhole(item.refused)}</Box> },
];

/** Files brought in, newest first. */
export default function ImportList() {
  return (
    <ListPage<FileImport>
      title="Imports"
      add="Bring a file in"
      resource="imports"
      columns={columns}
      filters={[
        { kind: 'text', field: 'q', label: 'File' },
        { kind: 'choice', field: 'kind', label: 'Holds', choices: choicesOf(importKindWords) },
        { kind: 'choice', field: 'state', label: 'State', choices: choicesOf(importStateWords) },
      ]}
      sort={{ field: 'createdAt', order: 'DESC' }}
      href={(item) => `/imports/${item.id}/show`}
      everyMs={5000}
      empty={{ title: 'No file has been brought in yet', text: 'Bring in readings, doors or fitted parts from a CSV file, whatever its columns are called.' }}
    />
  );
}
