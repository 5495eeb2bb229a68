import { certificateLength, certificateOutcomeWords, deviceWords, forceIn, forceReasonWords, forceUnit } from '@lintel/contract';
import type { CertificateCheck, CertificateContent, CertificateForceTest, CertificateOutcome } from '@lintel/engine';
import { residualAfterMs } from '@lintel/engine';
import { ForceCurves, OutcomeMark, type RecordedCurve } from '@lintel/ui';
import { Box } from '@mui/material';
import { Panel } from '../common/Page.js';
import { RecordTable, type Column } from '../common/RecordTable.js';

interface CheckRow extends CertificateCheck {
  id: string;
  where: string;
}

const outcome = (word: CertificateOutcome) =>
  word === 'not-done' ? certificateOutcomeWords[word] : <OutcomeMark outcome={word} />;

const checkColumns: readonly Column<CheckRow>[] = [
  { key: 'where', label: 'What', cell: ({ where }) => where },
  { key: 'test', label: 'Test', cell: ({ test }) => test },
  { key: 'criterion', label: 'Has to happen', wide: true, cell: ({ criterion }) => criterion ?? '–' },
  { key: 'outcome', label: 'Outcome', cell: (row) => <>{outcome(row.outcome)}{row.value === null ? null : <div>{row.value}</div>}</> },
  { key: 'remark', label: 'Remark', cell: ({ remark }) => remark ?? '–' },
  { key: 'source', label: 'Source', wide: true, cell: ({ source }) => source ?? '–' },
];

/** Function tests of the safety devices, then all other checks. */
export function CertificateChecks({ content: { devices, checks } }: { content: CertificateContent }) {
  const rows: CheckRow[] = [
    ...devices.flatMap(({ position, device, checks: tests }) => tests.map((check) => ({ ...check, where: `${position} (${deviceWords[device]})` }))),
    ...checks.map((check) => ({ ...check, where: 'Door' })),
  ].map((check, index) => ({ ...check, id: String(index) }));
  return (
    <Panel title="Safety devices and other checks" flush>
      <RecordTable label="Safety devices and other checks" columns={checkColumns} records={rows} urgent={(row) => row.outcome === 'failed'} />
    </Panel>
  );
}

type PointRow = CertificateForceTest['points'][number] & { id: string };

const pointOutcome = (row: PointRow) => (
  <>
    {outcome(row.outcome)}
    {row.reasons.map((reason) => (
      <div key={reason}>{forceReasonWords[reason]}</div>
    ))}
  </>
);

function curvesOf({ points, limits: { rows } }: CertificateForceTest): RecordedCurve[] {
  return points.flatMap(({ heightMm, across, limits, curves }) =>
    curves.map(({ samples }) => ({ heightMm, across, limits, residualAfterMs: residualAfterMs(rows), samples: samples.map(([ms, newton]) => ({ ms, newton })) })),
  );
}

/** A closing force test: the mean of each figure at each point, its limit, and the curves that were recorded. */
export function CertificateForces({ test, units }: { test: CertificateForceTest; units: 'metric' | 'us' }) {
  const unit = forceUnit(units);
  const force = (figure: 'peakNewton' | 'staticNewton' | 'residualNewton') => ({ means, limits }: PointRow) =>
    means && limits ? `${forceIn(units, means[figure])} / ${forceIn(units, limits[figure])}` : '–';
  const columns: readonly Column<PointRow>[] = [
    { key: 'point', label: 'Point', cell: ({ heightMm, across }) => `${certificateLength(units, heightMm)}, ${across}` },
    { key: 'peak', label: `Peak, ${unit}`, align: 'right', cell: force('peakNewton') },
    { key: 'dynamic', label: 'Dynamic, ms', align: 'right', cell: ({ means, limits }) => (means && limits ? `${Math.round(means.dynamicMs)} / ${limits.dynamicMs}` : '–') },
    { key: 'static', label: `Static, ${unit}`, align: 'right', cell: force('staticNewton') },
    { key: 'residual', label: `Residual, ${unit}`, align: 'right', cell: force('residualNewton') },
    { key: 'outcome', label: 'Outcome', cell: pointOutcome },
  ];
  const { instrument, limits } = test;
  const calibration = instrument?.calibration;
  return (
    <Panel
      title="Closing force"
      note={`means and limits; ${instrument?.name ?? 'instrument not named'}${calibration ? `, calibrated ${calibration.on}${calibration.certificate ? ` (${calibration.certificate})` : ''}` : ''}; ${limits.table}, version ${limits.version}`}
      flush
    >
      <RecordTable label="Closing force" columns={columns} records={test.points.map((point, index) => ({ ...point, id: String(index) }))} urgent={(row) => row.outcome === 'failed'} />
      <Box sx={{ padding: '0 16px 12px' }}>
        <ForceCurves curves={curvesOf(test)} />
      </Box>
    </Panel>
  );
}
