import type { Reading } from '@lintel/contract';
import { VerdictMark, formatInstant, formatWhole, palette, verdictWords } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { Link } from 'react-router';
import { useMay } from '../access/hooks.js';
import type { FilterWord } from '../common/Filters.js';
import { doorLink } from '../common/links.js';
import { ListPage } from '../common/ListPage.js';
import type { Column } from '../common/RecordTable.js';
import { useDialog } from '../common/useDialog.js';
import { choicesOf } from '../common/words.js';
import { OverruleDialog } from './OverruleDialog.js';

const sourceWords: Record<Reading['source'], string> = { form: 'typed in', file: 'from a file', post: 'sent by a machine', wire: 'by wire' };

const columns: readonly Column<Reading>[] = [
  { key: 'door', label: 'Door', cell: (reading) => reading.doorName },
  { key: 'site', label: 'Site', cell: (reading) => reading.siteName },
  { key: 'at', label: 'Read at', sort: 'at', cell: (reading) => formatInstant(reading.at) },
  { key: 'value', label: 'It showed', sort: 'value', align: 'right', cell: (reading) => formatWhole(reading.value) },
  { key: 'counter', label: 'Counter', wide: true, cell: (reading) => reading.counterName },
  { key: 'source', label: 'Source', wide: true, cell: (reading) => sourceWords[reading.source] },
  {
    key: 'verdict',
    label: 'Verdict',
    cell: (reading) => (
      <>
        <VerdictMark verdict={reading.verdict} />
        {reading.overrule ? (
          <Box sx={{ color: palette.inkSoft, fontSize: '0.88rem' }}>
            {reading.overrule.accountName}: {reading.overrule.use ? 'use it' : 'set it aside'}. {reading.overrule.note}
          </Box>
        ) : null}
      </>
    ),
  },
];

const filters: readonly FilterWord[] = [
  { kind: 'record', field: 'siteId', label: 'Site', resource: 'sites' },
  { kind: 'record', field: 'doorId', label: 'Door', resource: 'doors', narrowedBy: 'siteId' },
  { kind: 'choice', field: 'verdict', label: 'Verdict', choices: choicesOf(verdictWords) },
  { kind: 'choice', field: 'source', label: 'Source', choices: choicesOf(sourceWords) },
];

/** Every reading with its verdict; a planner may overrule one, with a note. */
export default function ReadingList() {
  const mayOverrule = useMay('write', 'overrules');
  const { subject, open, close } = useDialog<Reading>();
  return (
    <>
      <ListPage<Reading>
        title="Readings"
        facts={<span>No reading is ever changed or deleted; one that does not fit is set aside, with its reason.</span>}
        resource="readings"
        columns={columns}
        filters={filters}
        sort={{ field: 'at', order: 'DESC' }}
        href={(reading) => doorLink(reading.doorId)}
        everyMs={15_000}
        {...(mayOverrule
          ? {
              renderDeeds: (reading: Reading) => (
                <Button size="small" onClick={() => open(reading)} aria-label={`Overrule the reading of door ${reading.doorName} at ${formatInstant(reading.at)}`}>
                  {reading.overrule ? 'Change the overruling' : 'Overrule'}
                </Button>
              ),
            }
          : {})}
        empty={{
          title: 'No readings yet',
          text: 'Record one at a door, or bring a file of them in under Imports.',
          action: (
            <Button component={Link} to="/doors" variant="outlined">
              To the doors
            </Button>
          ),
        }}
      />
      {subject ? <OverruleDialog reading={subject} onClose={close} /> : null}
    </>
  );
}
