import type { Instrument } from '@lintel/contract';
import { CalibrationMark, calibrationWords, formatDate, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import type { FilterWord } from '../common/Filters.js';
import { ListPage } from '../common/ListPage.js';
import type { Column } from '../common/RecordTable.js';
import { choicesOf } from '../common/words.js';
import { instrumentKindWords } from './instrumentWords.js';

const columns: readonly Column<Instrument>[] = [
  { key: 'name', label: 'Name', sort: 'name', cell: (instrument) => instrument.name },
  { key: 'kind', label: 'Kind', sort: 'kind', cell: (instrument) => instrumentKindWords[instrument.kind] },
  { key: 'calibration', label: 'Calibration', sort: 'urgency', cell: (instrument) => <CalibrationMark state={instrument.calibration} /> },
  { key: 'good', label: 'Good through', sort: 'goodThrough', cell: ({ goodThrough }) => (goodThrough === null ? 'not known' : formatDate(goodThrough)) },
  { key: 'make', label: 'Maker and model', sort: 'maker', wide: true, cell: ({ maker, model }) => [maker, model].filter(Boolean).join(' ') },
  { key: 'serial', label: 'Serial', cell: ({ serial, archived }) => <>{serial}{archived ? <Box component="span" sx={{ color: palette.slate }}> retired</Box> : null}</> },
];

const filters: readonly FilterWord[] = [
  { kind: 'text', field: 'q', label: 'Name, maker or serial' },
  { kind: 'choice', field: 'kind', label: 'Kind', choices: choicesOf(instrumentKindWords) },
  { kind: 'choice', field: 'calibration', label: 'Calibration', choices: choicesOf(calibrationWords) },
  {
    kind: 'choice',
    field: 'archived',
    label: 'Use',
    all: 'In use and retired',
    choices: [
      { id: 'false', name: 'In use' },
      { id: 'true', name: 'Retired' },
    ],
  },
];

const overdue = ({ calibration, archived }: Instrument): boolean => !archived && (calibration === 'never' || calibration === 'out-of-date');

/** What the company measures with, the longest out of calibration first. */
export default function InstrumentList() {
  return (
    <ListPage<Instrument>
      title="Instruments"
      add="Add an instrument"
      resource="instruments"
      columns={columns}
      filters={filters}
      filterDefaults={{ archived: 'false' }}
      sort={{ field: 'urgency', order: 'ASC' }}
      urgent={overdue}
      href={(instrument) => `/instruments/${instrument.id}/show`}
      empty={{ title: 'No instruments yet', text: 'Add the force gauges and testers that inspections are measured with, and their calibrations.' }}
    />
  );
}
