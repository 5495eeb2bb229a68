import { gaugeFields } from '@lintel/contract';
import type { Calibration, Instrument, InstrumentFitness } from '@lintel/contract';
import { CalibrationMark, OutcomeMark, formatDate, formatInstant, gaugeSentence, palette } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { useGetOne } from 'react-admin';
import { Link, useParams } from 'react-router';
import { useAnswer, useMay } from '../access/hooks.js';
import { Trouble, Waiting } from '../common/faces.js';
import { Columns, Facts, PageHead, Panel, Stack } from '../common/Page.js';
import { RecordList } from '../common/RecordList.js';
import type { Column } from '../common/RecordTable.js';
import { useDialog } from '../common/useDialog.js';
import { RecordCalibrationDialog, WithdrawCalibrationDialog } from './CalibrationDialogs.js';
import { gaugeFieldWords, instrumentKindWords } from './instrumentWords.js';

/** One instrument: what it is, whether it may be used today, and all its calibrations. */
export default function InstrumentPage() {
  const { id = '' } = useParams();
  const mayWrite = useMay('write', 'instruments');
  const { data: instrument, error, isPending, refetch } = useGetOne<Instrument>('instruments', { id });
  const recording = useDialog<true>();
  if (error) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending || !instrument) return <Waiting what="the instrument" />;
  const record = (
    <Button variant="contained" onClick={() => recording.open(true)}>
      Record a calibration
    </Button>
  );
  const open = mayWrite && !instrument.archived;
  return (
    <>
      <PageHead
        title={instrument.name}
        up={{ to: '/instruments', word: 'Instruments' }}
        facts={
          <>
            <span>{instrumentKindWords[instrument.kind]}</span>
            {instrument.archived ? <span>retired</span> : <CalibrationMark state={instrument.calibration} />}
            {instrument.goodThrough ? <span>good through {formatDate(instrument.goodThrough)}</span> : null}
          </>
        }
        actions={
          open ? (
            <>
              <Button component={Link} to={`/instruments/${id}`} variant="outlined">
                Change
              </Button>
              {record}
            </>
          ) : null
        }
      />
      <Stack>
        <Columns widths="minmax(0, 1fr) minmax(0, 1fr)">
          <About instrument={instrument} />
          {instrument.kind === 'force-gauge' && !instrument.archived ? <Fitness id={id} /> : null}
        </Columns>
        <Panel title="Calibrations" note="The newest that stands counts" flush>
          <Calibrations instrument={instrument} mayWithdraw={mayWrite} action={open ? record : null} />
        </Panel>
      </Stack>
      {recording.subject ? <RecordCalibrationDialog instrument={instrument} onClose={recording.close} /> : null}
    </>
  );
}

function About({ instrument }: { instrument: Instrument }) {
  const figures = instrument.kind === 'force-gauge' ? gaugeFields.map((field) => ({ term: gaugeFieldWords[field], value: instrument[field] })) : [];
  const rows = [
    { term: 'Maker', value: instrument.maker ?? 'not known' },
    { term: 'Model', value: instrument.model ?? 'not known' },
    { term: 'Serial', value: instrument.serial ?? 'not known' },
    ...figures,
    ...(instrument.note ? [{ term: 'Note', value: instrument.note }] : []),
  ];
  return (
    <Panel title="About it">
      <Facts rows={rows} />
    </Panel>
  );
}

function Fitness({ id }: { id: string }) {
  const { data, error, refetch } = useAnswer<InstrumentFitness>(`/instruments/${id}/fitness`);
  return (
    <Panel title="For a force test today">
      {error ? <Trouble error={error} again={() => void refetch()} /> : null}
      {data && data.reasons.length === 0 ? (
        <p>
          <OutcomeMark outcome="passed" word="may be used" />: it meets the force limits in use.
        </p>
      ) : null}
      {data && data.reasons.length > 0 ? (
        <>
          <p>
            <OutcomeMark outcome="failed" word="must not be used" />: a force test with it is refused.
          </p>
          <ul>
            {data.reasons.map((reason) => (
              <li key={reason.code}>{gaugeSentence(reason)}</li>
            ))}
          </ul>
        </>
      ) : null}
    </Panel>
  );
}

const columns: readonly Column<Calibration>[] = [
  { key: 'on', label: 'Calibrated on', sort: 'calibratedOn', cell: ({ calibratedOn }) => formatDate(calibratedOn) },
  { key: 'due', label: 'Due on', sort: 'dueOn', cell: ({ dueOn }) => formatDate(dueOn) },
  { key: 'laboratory', label: 'Laboratory', cell: ({ laboratory }) => laboratory },
  { key: 'certificate', label: 'Certificate', cell: ({ certificateNumber }) => certificateNumber },
  {
    key: 'note',
    label: 'Note',
    cell: ({ note, withdrawn, withdrawnReason, withdrawnByName, withdrawnAt }) =>
      withdrawn && withdrawnAt ? (
        <Box component="span" sx={{ color: palette.signalDeep }}>
          Withdrawn {formatInstant(withdrawnAt)}{withdrawnByName ? ` by ${withdrawnByName}` : ''}: {withdrawnReason}
        </Box>
      ) : (
        note
      ),
  },
  { key: 'by', label: 'Recorded', wide: true, cell: ({ accountName, recordedAt }) => `${formatInstant(recordedAt)}${accountName ? `, ${accountName}` : ''}` },
];

function Calibrations({ instrument, mayWithdraw, action }: { instrument: Instrument; mayWithdraw: boolean; action: React.ReactNode }) {
  const { subject, open, close } = useDialog<Calibration>();
  return (
    <>
      <RecordList<Calibration>
        resource="calibrations"
        label="Calibrations"
        columns={columns}
        fixed={{ instrumentId: instrument.id }}
        sort={{ field: 'calibratedOn', order: 'DESC' }}
        inside
        empty={{ title: 'Never calibrated', text: 'Record its calibration from the certificate of the laboratory.', action }}
        {...(mayWithdraw
          ? {
              renderDeeds: (calibration: Calibration) =>
                calibration.withdrawn ? null : (
                  <Button size="small" onClick={() => open(calibration)} aria-label={`Withdraw: calibration of ${formatDate(calibration.calibratedOn)}`}>
                    Withdraw
                  </Button>
                ),
            }
          : {})}
      />
      {subject ? <WithdrawCalibrationDialog calibration={subject} onClose={close} /> : null}
    </>
  );
}
