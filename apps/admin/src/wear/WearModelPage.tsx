import type { FittedPart, WearAnalysis, WearModel } from '@lintel/contract';
import { ConditionMark, SafetyMark, formatChance, formatInstant } from '@lintel/ui';
import { Alert } from '@mui/material';
import { Suspense, lazy, useState } from 'react';
import { useGetList, useGetOne } from 'react-admin';
import { useParams } from 'react-router';
import { useAnswer } from '../access/hooks.js';
import { Nothing, Trouble, Waiting } from '../common/faces.js';
import { doorLink } from '../common/links.js';
import { useToday } from '../common/now.js';
import { Columns, Facts, PageHead, Panel, Stack } from '../common/Page.js';
import { RecordList } from '../common/RecordList.js';
import type { Column } from '../common/RecordTable.js';
import { LifeRange } from '../fleet/doors/LifeRange.js';
import { lifeAmount } from '../fleet/doors/life.js';
import { LifeBandBar } from './LifeBandBar.js';
import { RefitButton } from './RefitButton.js';
import { UseMark } from './UseMark.js';
import { VersionsPanel } from './VersionsPanel.js';
import { evidenceWords, modelTitle, noFitWords, planWords, ratedWords } from './wearWords.js';

const LifePlot = lazy(() => import('./LifePlot.js'));
const SurvivalChart = lazy(() => import('./SurvivalChart.js'));
const CostChart = lazy(() => import('./CostChart.js'));

/** One version of a wear model: what it rests on, its law, what follows in money, and which parts are near their end. */
export default function WearModelPage() {
  const { id = '' } = useParams();
  const [comparedId, setComparedId] = useState<string | null>(null);
  const { data: model, error, isPending, refetch } = useGetOne<WearModel>('wear-models', { id });
  const analysis = useAnswer<WearAnalysis>(`/wear-models/${id}/analysis`);
  const { data: versions = [] } = useGetList<WearModel>(
    'wear-models',
    { filter: { positionId: model?.positionId, climate: model?.climate }, pagination: { page: 1, perPage: 100 }, sort: { field: 'number', order: 'DESC' } },
    { enabled: model !== undefined },
  );
  const failed = error ?? analysis.error;
  if (failed) return <Trouble error={failed} again={() => void Promise.all([refetch(), analysis.refetch()])} />;
  if (isPending || !model || !analysis.data) return <Waiting what="the wear model" />;
  return (
    <>
      <PageHead
        title={modelTitle(model)}
        up={{ to: '/wear-models', word: 'Wear models' }}
        facts={<HeadFacts model={model} />}
        actions={<RefitButton kind={model.kind} />}
      />
      <Stack>
        {model.safetyDevice ? (
          <Alert severity="info" icon={false}>
            This is a safety device. Nothing that is computed here extends or replaces its inspections.
          </Alert>
        ) : null}
        <Charts model={model} analysis={analysis.data} compared={versions.find((version) => version.id === comparedId && version.id !== id) ?? null} />
        <Panel title="Parts most at risk now" flush>
          <AtRisk model={model} />
        </Panel>
        {versions.length > 0 ? <VersionsPanel shownId={id} versions={versions} comparedId={comparedId} onCompare={setComparedId} /> : null}
      </Stack>
    </>
  );
}

function HeadFacts({ model }: { model: WearModel }) {
  return (
    <>
      <UseMark model={model} />
      <span>
        Version {model.number} of {model.newest}, {formatInstant(model.madeAt)}
      </span>
      <span>{evidenceWords(model)}</span>
      {model.safetyDevice ? <SafetyMark word="safety device" /> : null}
    </>
  );
}

function Charts({ model, analysis, compared }: { model: WearModel; analysis: WearAnalysis; compared: WearModel | null }) {
  const { data: other } = useAnswer<WearAnalysis>(`/wear-models/${compared?.id ?? ''}/analysis`, { enabled: compared !== null });
  const { unit } = model;
  const fileName = (what: string) => `${what} ${modelTitle(model)} version ${model.number}`.toLowerCase().replaceAll(/[^a-z0-9]+/g, '-');
  const { renewal, plot } = analysis;
  return (
    <>
      <Columns widths="minmax(0, 1.6fr) minmax(0, 1fr)">
        <Panel title="Life plot" note="Weibull paper: a law of wear is a straight line">
          <Suspense fallback={<Waiting what="the chart" />}>
            <LifePlot analysis={analysis} unit={unit} fileName={fileName('life-plot')} other={compared && other ? { number: compared.number, plot: other.plot } : null} />
          </Suspense>
        </Panel>
        <Panel title="What is known">
          <Facts rows={factsOf(model, analysis)} />
        </Panel>
      </Columns>
      <Columns>
        <Panel title="Parts that live on" note="Kaplan–Meier, without any law">
          <Suspense fallback={<Waiting what="the chart" />}>
            <SurvivalChart plot={plot} unit={unit} fileName={fileName('survival')} />
          </Suspense>
        </Panel>
        <Panel title="Renewal" note="Cost in the long run against the age of replacement">
          {renewal ? (
            <>
              <p style={{ marginTop: 0 }}>{planWords(renewal.plan, unit, renewal.costs.currency)}</p>
              <Suspense fallback={<Waiting what="the chart" />}>
                <CostChart renewal={renewal} unit={unit} fileName={fileName('renewal')} />
              </Suspense>
            </>
          ) : (
            <Nothing title="No costs yet">Give the position what a planned replacement and a failure cost, on the page of its door type.</Nothing>
          )}
        </Panel>
      </Columns>
    </>
  );
}

function factsOf(model: WearModel, { fit, plot }: WearAnalysis) {
  const { unit } = model;
  const round = (value: number) => Number(value.toPrecision(3));
  return [
    { term: 'One in ten fails by', value: <LifeBandBar age={model.b10} low={model.b10Low} high={model.b10High} unit={unit} /> },
    { term: 'Half fail by', value: <LifeBandBar age={model.b50} low={model.b50Low} high={model.b50High} unit={unit} /> },
    { term: 'Learned from', value: evidenceWords(model) },
    ...(model.setAside > 0 ? [{ term: 'Left out', value: `${model.setAside} whose age is not known` }] : []),
    { term: 'Rating', value: `${ratedWords(model)}; ${model.ratingSource ?? 'source not given'}` },
    ...(fit
      ? [
          { term: 'Lives alone', value: `shape ${round(fit.shape)} (${round(fit.shapeInterval[0])} – ${round(fit.shapeInterval[1])}), scale ${lifeAmount(fit.scale, unit)}` },
          { term: 'Wear-out', value: wearOutWords(fit.wearOutPValue) },
          { term: 'Another law', value: fit.better === 'lognormal' ? 'a lognormal law fits these lives clearly better: read the line with care' : 'a lognormal law fits no better' },
        ]
      : [{ term: 'Lives alone', value: model.noFit ? noFitWords[model.noFit] : 'no fit' }]),
    ...(plot.freezer ? [{ term: 'In freezers', value: freezerWords(plot.freezer) }] : []),
    ...(model.fixed && model.fixedAt ? [{ term: 'Fixed', value: `${formatInstant(model.fixedAt)}${model.fixedByName ? ` by ${model.fixedByName}` : ''}: ${model.fixedNote ?? ''}` }] : []),
  ];
}

/** `it lives 0.7 times as long as elsewhere (0.6 – 0.9)`; no difference where 1 lies between. */
function freezerWords({ factor, low, high }: NonNullable<WearAnalysis['plot']['freezer']>): string {
  const interval = `${low.toFixed(2)} – ${high.toFixed(2)}`;
  if (low <= 1 && high >= 1) return `no clear difference: ${factor.toFixed(2)} times as long as elsewhere (${interval})`;
  return `such parts live ${factor.toFixed(2)} times as long as elsewhere (${interval})`;
}

function wearOutWords(pValue: number): string {
  const chance = pValue < 0.001 ? 'under 0.1 %' : formatChance(pValue);
  return `${pValue < 0.05 ? 'the parts wear out' : 'no clear sign'}: as much by luck has a chance of ${chance}`;
}

const riskColumns = (today: string): Column<FittedPart>[] => [
  { key: 'door', label: 'Door', cell: (part) => part.doorName },
  { key: 'site', label: 'Site', cell: (part) => part.siteName },
  { key: 'condition', label: 'Condition', cell: (part) => <ConditionMark condition={part.condition} /> },
  { key: 'age', label: 'Age', align: 'right', cell: (part) => (part.age === null ? '–' : lifeAmount(part.age, part.unit)) },
  { key: 'chance', label: 'Fails in 90 days', align: 'right', cell: (part) => (part.chance90 === null ? '–' : formatChance(part.chance90)) },
  { key: 'ends', label: 'Likely end: early – middle – late', wide: true, cell: (part) => <LifeRange part={part} today={today} /> },
];

function AtRisk({ model }: { model: WearModel }) {
  const today = useToday();
  return (
    <RecordList<FittedPart>
      resource="fitted-parts"
      label="Parts most at risk"
      columns={riskColumns(today)}
      fixed={{ positionId: model.positionId, wearModelId: model.id, fitted: 'true' }}
      sort={{ field: 'chance90', order: 'DESC' }}
      perPage={10}
      href={(part) => doorLink(part.doorId)}
      urgent={(part) => part.condition === 'worn'}
      inside
      empty={{ title: 'No part goes by this version', text: model.inUse ? 'The fleet has not been computed since it came into use.' : 'Another version is in use.' }}
    />
  );
}
