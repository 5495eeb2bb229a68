import type { Fault } from '@lintel/contract';
import { formatInstant, formatWhole, palette } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { useState } from 'react';
import { Link } from 'react-router';
import { useMay } from '../access/hooks.js';
import type { FilterWord } from '../common/Filters.js';
import { doorLink } from '../common/links.js';
import { useToday } from '../common/now.js';
import { ListPage } from '../common/ListPage.js';
import type { Column } from '../common/RecordTable.js';
import { choicesOf } from '../common/words.js';
import { FaultOverview } from './FaultOverview.js';
import { faultKindWords, faultSourceWords } from './faultWords.js';
import { RecordFaultDialog } from './RecordFaultDialog.js';

const columns: readonly Column<Fault>[] = [
  { key: 'door', label: 'Door', sort: 'doorName', cell: (fault) => fault.doorName },
  { key: 'site', label: 'Site', sort: 'siteName', cell: (fault) => fault.siteName },
  { key: 'at', label: 'When', sort: 'at', cell: (fault) => formatInstant(fault.at) },
  {
    key: 'code',
    label: 'Fault',
    sort: 'code',
    cell: (fault) => (
      <>
        <strong>{fault.code}</strong> {fault.codeName}
        {fault.note ? <Box sx={{ color: palette.inkSoft, fontSize: '0.88rem' }}>{fault.note}</Box> : null}
      </>
    ),
  },
  { key: 'kind', label: 'Kind', wide: true, cell: (fault) => faultKindWords[fault.kind] },
  { key: 'cycles', label: 'At cycles', align: 'right', wide: true, cell: (fault) => (fault.lifetimeCycles === null ? '' : formatWhole(fault.lifetimeCycles)) },
  { key: 'source', label: 'Source', wide: true, cell: (fault) => (fault.accountName ? `${faultSourceWords[fault.source]}, ${fault.accountName}` : faultSourceWords[fault.source]) },
];

/** Beginnings of the times that can be looked at; whole days, so that the address of a list means the same all day. */
function spans(today: string): { id: string; name: string }[] {
  const back = (days: number) => new Date(Date.parse(`${today}T00:00:00Z`) - days * 86_400_000).toISOString();
  return [
    { id: back(90), name: 'Last 90 days' },
    { id: back(365), name: 'Last year' },
    { id: back(1095), name: 'Last three years' },
  ];
}

function useFilters(): { words: readonly FilterWord[]; usual: Record<string, unknown> } {
  const [times] = useState(spans(useToday()));
  const year = times[1]!;
  return {
    usual: { atFrom: year.id },
    words: [
      { kind: 'record', field: 'siteId', label: 'Site', resource: 'sites' },
      { kind: 'record', field: 'doorTypeId', label: 'Door type', resource: 'door-types' },
      { kind: 'record', field: 'faultCodeId', label: 'Fault code', resource: 'fault-codes' },
      { kind: 'choice', field: 'kind', label: 'Kind', choices: choicesOf(faultKindWords) },
      { kind: 'choice', field: 'atFrom', label: 'Time', all: 'Last year, and the whole list', choices: times },
    ],
  };
}

/** What doors reported: what comes most, which doors are getting worse, what came back after its repair, and every fault. */
export default function FaultsPage() {
  const records = useMay('write', 'faults');
  const [recording, setRecording] = useState(false);
  const { words, usual } = useFilters();
  const record = (
    <Button variant="contained" onClick={() => setRecording(true)}>
      Record a fault
    </Button>
  );
  return (
    <>
      <ListPage<Fault>
        title="Faults"
        actions={
          <>
            <Button component={Link} to="/fault-codes" variant="outlined">
              Fault catalogue
            </Button>
            {records ? record : null}
          </>
        }
        resource="faults"
        columns={columns}
        filters={words}
        filterDefaults={usual}
        above={<FaultOverview />}
        sort={{ field: 'at', order: 'DESC' }}
        href={(fault) => doorLink(fault.doorId)}
        empty={{ title: 'No faults yet', text: 'Record one here or at a door, bring a file of them in under Imports, or let a machine send them.', action: records ? record : null }}
      />
      {recording ? <RecordFaultDialog onClose={() => setRecording(false)} /> : null}
    </>
  );
}
