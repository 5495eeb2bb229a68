import type { ImportKind, ImportRefusal } from '@lintel/contract';
import { formatWhole, palette } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { useState } from 'react';
import { query } from '../access/http.js';
import { useAnswer } from '../access/hooks.js';
import { Trouble, WaitingRows } from '../common/faces.js';
import { Panel } from '../common/Page.js';
import { importFieldWord } from './importWords.js';
import { RecordTable } from '../common/RecordTable.js';
import type { Column } from '../common/RecordTable.js';

const perPage = 50;

interface RefusalPage {
  items: ImportRefusal[];
  hasNext: boolean;
}

const columnsFor = (kind: ImportKind): readonly Column<ImportRefusal & { id: string }>[] => [
  { key: 'line', label: 'Line', cell: (item) => item.line },
  { key: 'field', label: 'Field', cell: (item) => importFieldWord(item.field, kind) },
  { key: 'reason', label: 'Why', cell: (item) => item.reason },
  { key: 'text', label: 'The line itself', cell: (item) => <Box component="code" sx={{ overflowWrap: 'anywhere', color: palette.inkSoft }}>{item.excerpt}</Box> },
];

/** Every refused line: its number, its field, why, and its own text. */
export function RefusalTable({ importId, kind, refused }: { importId: string; kind: ImportKind; refused: number }) {
  const [page, setPage] = useState(0);
  const { data, error, isPending, refetch } = useAnswer<RefusalPage>(
    `/imports/${importId}/refusals${query({ limit: perPage, offset: page * perPage })}`,
  );
  return (
    <Panel title="Refused lines" note={`${formatWhole(refused)} in all; mend them in the file and bring it in again, nothing is taken twice`} flush>
      {error ? (
        <Box sx={{ padding: 2 }}>
          <Trouble error={error} again={() => void refetch()} />
        </Box>
      ) : isPending || !data ? (
        <WaitingRows />
      ) : (
        <>
          <RecordTable
            label="Refused lines"
            columns={columnsFor(kind)}
            records={data.items.map((item) => ({ id: `${item.line} ${item.field}`, ...item }))}
          />
          {page > 0 || data.hasNext ? (
            <Box sx={{ display: 'flex', gap: 1, padding: 1 }}>
              <Button disabled={page === 0} onClick={() => setPage(page - 1)}>
                Earlier lines
              </Button>
              <Button disabled={!data.hasNext} onClick={() => setPage(page + 1)}>
                Later lines
              </Button>
            </Box>
          ) : null}
        </>
      )}
    </Panel>
  );
}
