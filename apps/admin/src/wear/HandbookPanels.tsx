import type { BearingLifeView, ChainLifeView, Door, HandbookLives, Site } from '@lintel/contract';
import { formatAbout, formatInstant, palette } from '@lintel/ui';
import { Alert, Box, Button, Typography } from '@mui/material';
import { Suspense, lazy, useState } from 'react';
import { useAnswer, useMay } from '../access/hooks.js';
import { Nothing, Trouble, Waiting } from '../common/faces.js';
import { Panel } from '../common/Page.js';
import { RecordTable } from '../common/RecordTable.js';
import type { Column } from '../common/RecordTable.js';
import { bearingSentence, chainSentence, limitWords } from './handbookWords.js';
import { MeasureChainDialog } from './MeasureChainDialog.js';
import type { Correctable } from './MeasureChainDialog.js';

const ChainChart = lazy(() => import('./ChainChart.js'));

interface Asked {
  chain: ChainLifeView;
  corrects: Correctable | null;
}

/** What handbooks say of the door's chains and bearings; nothing where it has neither. */
export function HandbookPanels({ door, site }: { door: Door; site: Site }) {
  const { data, error, refetch } = useAnswer<HandbookLives>(`/doors/${door.id}/handbook-lives`);
  const records = useMay('write', 'chain-measurements') && door.state !== 'decommissioned';
  const [asked, setAsked] = useState<Asked | null>(null);
  const close = () => {
    setAsked(null);
    void refetch();
  };
  if (error && !data) return <Trouble error={error} again={() => void refetch()} />;
  if (!data || door.state === 'decommissioned') return null;
  return (
    <>
      {data.chains.map((chain) => (
        <ChainPanel key={chain.fittedPartId} chain={chain} door={door} site={site} onMeasure={records ? (corrects) => setAsked({ chain, corrects }) : null} />
      ))}
      {data.bearings.length > 0 ? <BearingsPanel bearings={data.bearings} /> : null}
      {asked ? <MeasureChainDialog {...asked} site={site} onClose={close} /> : null}
    </>
  );
}

interface ChainPanelProps {
  chain: ChainLifeView;
  door: Door;
  site: Site;
  /** Null: the reader may not record. */
  onMeasure: ((corrects: Correctable | null) => void) | null;
}

function ChainPanel({ chain, door, site, onMeasure }: ChainPanelProps) {
  const measure = onMeasure ? <Button size="small" variant="outlined" onClick={() => onMeasure(null)}>Record a measurement</Button> : null;
  return (
    <Panel title={`Chain elongation: ${chain.positionName}`} note="Measured under tension over several pitches, without an offset link" actions={measure}>
      {chain.atLimit ? <Alert severity="error" icon={false} sx={{ marginBottom: 1 }}><strong>{chainSentence(chain)}</strong></Alert> : <Typography sx={{ marginBottom: 1 }}>{chainSentence(chain)}</Typography>}
      {chain.measurements.length === 0 ? (
        <Nothing title="No measurement of this chain">Three of them, some time apart, tell when it reaches its limit.</Nothing>
      ) : (
        <>
          <Suspense fallback={<Waiting what="the chart" />}>
            <ChainChart chain={chain} fileName={`chain-of-${door.name}`} />
          </Suspense>
          <MeasurementTable chain={chain} timeZone={site.timeZone} onMeasure={onMeasure} />
        </>
      )}
      <Typography sx={{ color: palette.slate, fontSize: '0.88rem', marginTop: 1 }}>{limitWords(chain)} Inspections stay due as they are.</Typography>
    </Panel>
  );
}

type Measurement = ChainLifeView['measurements'][number];

function MeasurementTable({ chain, timeZone, onMeasure }: { chain: ChainLifeView; timeZone: string; onMeasure: ChainPanelProps['onMeasure'] }) {
  const columns: Column<Measurement>[] = [
    { key: 'at', label: 'Measured', cell: ({ measuredAt }) => formatInstant(measuredAt, timeZone) },
    { key: 'age', label: 'Cycles of the chain', align: 'right', cell: ({ ageCycles }) => (ageCycles === null ? 'not known yet' : formatAbout(ageCycles)) },
    { key: 'elongation', label: 'Elongation', align: 'right', cell: ({ elongationPercent }) => `${elongationPercent.toFixed(2)} %` },
  ];
  return (
    <RecordTable<Measurement>
      label="Measurements of the chain"
      columns={columns}
      records={[...chain.measurements].reverse()}
      renderDeeds={onMeasure ? (item) => <Button size="small" onClick={() => onMeasure(item)} aria-label={`Correct the measurement of ${formatInstant(item.measuredAt, timeZone)}`}>Correct</Button> : undefined}
    />
  );
}

const bearingColumns: readonly Column<BearingLifeView & { id: string }>[] = [
  { key: 'position', label: 'Bearings', cell: ({ positionName, kind }) => `${positionName} (${kind} bearings)` },
  { key: 'l10', label: 'L10, cycles of this door', align: 'right', cell: ({ l10Cycles }) => formatAbout(l10Cycles) },
  { key: 'now', label: 'At this door', cell: bearingSentence },
  {
    key: 'from',
    label: 'From',
    wide: true,
    cell: ({ ratingKn, loadKn, turnsPerCycle, source }) => (
      <Box sx={{ color: palette.inkSoft }}>C {ratingKn} kN, P {loadKn} kN, {turnsPerCycle} turns a cycle; {source ?? 'source not given'}</Box>
    ),
  },
];

function BearingsPanel({ bearings }: { bearings: readonly BearingLifeView[] }) {
  return (
    <Panel title="Bearing life" note="L10 = (C/P)³ for balls, ^(10/3) for rollers (ISO 281): nine in ten reach it when clean, greased and true; the maker’s word comes first" flush>
      <RecordTable label="Rating life of bearings" columns={bearingColumns} records={bearings.map((bearing) => ({ ...bearing, id: bearing.fittedPartId }))} urgent={({ ageCycles, l10Cycles }) => ageCycles >= l10Cycles} />
    </Panel>
  );
}
