import type { Door, DoorRenewals, PartRenewal, WearModel } from '@lintel/contract';
import { palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { useGetMany } from 'react-admin';
import { Link } from 'react-router';
import { useAnswer, useMay } from '../access/hooks.js';
import { Nothing, Trouble, WaitingRows } from '../common/faces.js';
import { Panel } from '../common/Page.js';
import { RecordTable } from '../common/RecordTable.js';
import type { Column } from '../common/RecordTable.js';
import type { DoorPosition } from '../fleet/doors/useDoor.js';
import { evidenceWords, planWords, visitWords } from './wearWords.js';

interface Line extends DoorPosition {
  renewal: PartRenewal | null;
  model: WearModel | null;
}

const quiet = { color: palette.slate, fontSize: '0.88rem' };

function columns(nextVisitOn: string | null, seesModels: boolean): Column<Line>[] {
  const source: Column<Line> = {
    key: 'source',
    label: 'What is known of such parts',
    wide: true,
    cell: ({ model }) => (model ? <Link to={`/wear-models/${model.id}/show`}>{evidenceWords(model)}</Link> : 'the rating alone'),
  };
  return [
    { key: 'position', label: 'Position', cell: ({ position }) => position.name },
    { key: 'visit', label: 'While at the door', cell: (line) => <Visit line={line} nextVisitOn={nextVisitOn} /> },
    { key: 'plan', label: 'In the long run', cell: ({ renewal }) => (renewal ? planWords(renewal.plan, renewal.unit, renewal.costs.currency) : '–') },
    ...(seesModels ? [source] : []),
  ];
}

function Visit({ line: { renewal, position }, nextVisitOn }: { line: Line; nextVisitOn: string | null }) {
  if (!renewal) return <Box sx={quiet}>the position has no costs yet</Box>;
  const replace = renewal.visit.decision === 'replace';
  return (
    <>
      <Box sx={{ fontWeight: 650, color: replace ? palette.signalDeep : palette.ink }}>{replace ? '▲ Replace it now' : '● Leave it'}</Box>
      <Box sx={quiet}>{visitWords(renewal, nextVisitOn, position.safetyDevice)}</Box>
    </>
  );
}

/** For each part of the door, in money: replace it while somebody is there, or leave it; and whose lives that goes by. */
export function RenewalPanel({ door, positions }: { door: Door; positions: readonly DoorPosition[] }) {
  const sees = useMay('read', 'renewals');
  const seesModels = useMay('read', 'wear-models');
  const { data, error, isPending, refetch } = useAnswer<DoorRenewals>(`/doors/${door.id}/renewals`, { enabled: sees });
  const ids = [...new Set(positions.flatMap(({ part }) => part?.wearModelId ?? []))];
  const { data: models = [] } = useGetMany<WearModel>('wear-models', { ids }, { enabled: seesModels && ids.length > 0 });
  if (!sees || door.state === 'decommissioned') return null;
  const lines: Line[] = positions
    .filter(({ part }) => part?.age != null)
    .map((line) => ({
      ...line,
      renewal: data?.items.find((item) => item.fittedPartId === line.part?.id) ?? null,
      model: models.find((model) => model?.id === line.part?.wearModelId) ?? null,
    }));
  const ordered = lines.sort((a, b) => urgency(b) - urgency(a));
  return (
    <Panel title="Renewal" note="Replace a part now, or leave it until the next visit: in money" flush>
      {error ? (
        <Box sx={{ padding: 2 }}><Trouble error={error} again={() => void refetch()} /></Box>
      ) : isPending ? (
        <WaitingRows rows={4} />
      ) : ordered.length === 0 ? (
        <Nothing title="Nothing to say yet">Parts with a life rating appear here after the next projection.</Nothing>
      ) : (
        <RecordTable<Line> label="Renewal of the door’s parts" columns={columns(data?.nextVisitOn ?? null, seesModels)} records={ordered} urgent={({ renewal }) => renewal?.visit.decision === 'replace'} />
      )}
    </Panel>
  );
}

const FIRST = 1e15;

/** Those to be replaced first, by what leaving them costs; those without costs last. */
function urgency({ renewal }: Line): number {
  if (renewal === null) return -Infinity;
  const { decision, riskCost, lifeCost } = renewal.visit;
  return riskCost - lifeCost + (decision === 'replace' ? FIRST : 0);
}
