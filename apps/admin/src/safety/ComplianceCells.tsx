import type { ComplianceDoorCell, ComplianceSiteCell, ComplianceStateWord } from '@lintel/contract';
import { ComplianceMark, formatDate, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { deviceWords } from './deviceWords.js';

type Cell = ComplianceDoorCell | ComplianceSiteCell;

/** As short as a narrow column asks for. */
const shortWords: Record<ComplianceStateWord, string> = {
  overdue: 'overdue',
  failed: 'failed',
  'not-planned': 'not planned',
  'due-soon': 'due soon',
  'in-date': 'in date',
};

const nextWords = ({ nextOn }: Cell): string => (nextOn === null ? '' : `by ${formatDate(nextOn)}`);
const lastWords = ({ lastOn }: Cell): string => (lastOn === null ? 'no test on record' : `last ${formatDate(lastOn)}`);
const doorWords = (cell: Cell): string => ('doorsOverdue' in cell && cell.doorsOverdue > 0 ? `${cell.doorsOverdue} of ${cell.doors} doors` : '');

/** State by shape and word, by when the next test must be made, and when the last was. Nothing where there is no such device. */
export function CellMark({ cell }: { cell: Cell | undefined }) {
  if (!cell) return <Box component="span" sx={{ color: palette.slate }}>none</Box>;
  return (
    <Box sx={{ fontSize: '0.88rem', lineHeight: 1.35 }}>
      <ComplianceMark state={cell.state} word={shortWords[cell.state]} />
      {[doorWords(cell), nextWords(cell), lastWords(cell)].filter(Boolean).map((words) => (
        <Box key={words} sx={{ color: palette.inkSoft, fontSize: '0.8rem' }}>
          {words}
        </Box>
      ))}
    </Box>
  );
}

/** On a phone: what is not in date, one line each, and how many devices are. */
export function CellLines({ cells }: { cells: readonly Cell[] }) {
  const open = cells.filter(({ state }) => state !== 'in-date');
  const fine = cells.length - open.length;
  return (
    <Box component="ul" aria-label="Devices" sx={{ listStyle: 'none', margin: '4px 0', padding: 0, fontSize: '0.92rem' }}>
      {open.map((cell) => (
        <Box component="li" key={cell.device} sx={{ marginBottom: 0.4 }}>
          <strong>{deviceWords[cell.device]}</strong> <ComplianceMark state={cell.state} word={shortWords[cell.state]} />
          <Box sx={{ color: palette.inkSoft, fontSize: '0.85rem' }}>{[doorWords(cell), nextWords(cell), lastWords(cell)].filter(Boolean).join(', ')}</Box>
        </Box>
      ))}
      {fine > 0 ? (
        <li>
          <ComplianceMark state="in-date" word={open.length === 0 ? 'everything in date' : `${fine} other ${fine === 1 ? 'device' : 'devices'} in date`} />
        </li>
      ) : null}
    </Box>
  );
}
