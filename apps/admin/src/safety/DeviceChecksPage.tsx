import { deviceChecks } from '@lintel/engine';
import type { DeviceCheck, DiagnosticLimit, SafetyDevice } from '@lintel/engine';
import { SourceMark, palette } from '@lintel/ui';
import { Alert, Box } from '@mui/material';
import { PageHead, Panel, Stack } from '../common/Page.js';
import { RecordTable } from '../common/RecordTable.js';
import type { Column } from '../common/RecordTable.js';
import { deviceWords } from './deviceWords.js';

const kindWords: Record<DeviceCheck['kind'], string> = { function: 'Function test', diagnostic: 'Diagnostic' };

function limitWords({ quantity, unit, lower, upper }: DiagnosticLimit): string {
  const bounds = [lower === undefined ? '' : `at least ${lower} ${unit}`, upper === undefined ? '' : `at most ${upper} ${unit}`];
  return `${quantity}: ${bounds.filter(Boolean).join(', ')}`;
}

const columns: readonly Column<DeviceCheck>[] = [
  {
    key: 'test',
    label: 'Test',
    cell: ({ kind, test }) => (
      <>
        <Box sx={{ color: palette.slate, fontWeight: 600, fontSize: '0.82rem' }}>{kindWords[kind]}</Box>
        <Box sx={{ fontWeight: 500 }}>{test}</Box>
      </>
    ),
  },
  {
    key: 'criterion',
    label: 'What has to happen',
    cell: ({ criterion, limit }) => (
      <>
        {criterion}
        {limit ? <Box sx={{ fontWeight: 650 }}>{limitWords(limit)}</Box> : null}
      </>
    ),
  },
  { key: 'status', label: 'How well known', cell: ({ status }) => <SourceMark status={status} /> },
  { key: 'source', label: 'Source', wide: true, cell: ({ source }) => <Box sx={{ color: palette.inkSoft, fontSize: '0.88rem' }}>{source}</Box> },
];

const devices = [...new Set(deviceChecks.map(({ device }) => device))] as SafetyDevice[];

/** What is tested on each kind of safety device, what has to happen, and who says so. */
export default function DeviceChecksPage() {
  return (
    <>
      <PageHead title="Checks of safety devices" up={{ to: '/force-limits', word: 'Force limits' }} />
      <Stack>
        <Alert severity="warning" icon={false}>
          The maker’s manual and local rules come first. A function test decides whether a device passes; a diagnostic finds out why, or how near to
          failing, and never takes the place of the test. Where no standard gives a value, common practice is named as such.
        </Alert>
        {devices.map((device) => (
          <Panel key={device} title={deviceWords[device]} flush>
            <RecordTable<DeviceCheck> label={deviceWords[device]} columns={columns} records={deviceChecks.filter((check) => check.device === device)} />
          </Panel>
        ))}
      </Stack>
    </>
  );
}
