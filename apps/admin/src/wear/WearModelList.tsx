import type { PartKind, WearModel } from '@lintel/contract';
import { formatInstant, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { ListPage } from '../common/ListPage.js';
import type { Column } from '../common/RecordTable.js';
import { choicesOf, partKindWords } from '../common/words.js';
import { LifeBandBar } from './LifeBandBar.js';
import { RefitButton } from './RefitButton.js';
import { UseMark } from './UseMark.js';
import { climateWords, poolWords, ratedWords } from './wearWords.js';

const small = { color: palette.slate, fontSize: '0.88rem' };

const columns: readonly Column<WearModel>[] = [
  { key: 'position', label: 'Part', sort: 'positionName', cell: (model) => model.positionName },
  { key: 'type', label: 'Door type', sort: 'doorTypeName', cell: (model) => `${model.doorTypeName}, ${climateWords[model.climate].toLowerCase()}` },
  { key: 'failures', label: 'Failures', sort: 'failures', align: 'right', cell: (model) => model.failures },
  {
    key: 'pool',
    label: 'Learned from',
    cell: (model) => (
      <>
        {poolWords[model.pool]}
        <Box sx={small}>and {model.suspensions} that had not failed</Box>
      </>
    ),
  },
  { key: 'b10', label: 'One in ten fails by', cell: (model) => <LifeBandBar age={model.b10} low={model.b10Low} high={model.b10High} unit={model.unit} /> },
  {
    key: 'rating',
    label: 'Rating',
    wide: true,
    cell: (model) => (
      <>
        {ratedWords(model)}
        <Box sx={small}>{model.ratingSource ?? 'source not given'}</Box>
      </>
    ),
  },
  {
    key: 'version',
    label: 'Version',
    sort: 'number',
    wide: true,
    cell: (model) => (
      <>
        {model.number} {model.number < model.newest ? `of ${model.newest}` : ''}
        <Box sx={small}>{formatInstant(model.madeAt)}</Box>
      </>
    ),
  },
  { key: 'use', label: 'Use', cell: (model) => <UseMark model={model} /> },
];

/** What the company has learned of the lives of its parts: one line a part, door type and climate. */
export default function WearModelList() {
  return (
    <ListPage<WearModel>
      title="Wear models"
      facts={<span>Lives of parts: from their rating, and from the failures and running parts of this company.</span>}
      actions={<RefitButton />}
      resource="wear-models"
      columns={columns}
      fixed={{ inUse: 'true' }}
      sort={{ field: 'failures', order: 'DESC' }}
      filters={[
        { kind: 'text', field: 'q', label: 'Part or door type' },
        { kind: 'choice', field: 'kind', label: 'Kind of part', choices: choicesOf<PartKind>(partKindWords) },
        { kind: 'choice', field: 'climate', label: 'Climate', choices: choicesOf(climateWords) },
        { kind: 'choice', field: 'pool', label: 'Learned from', choices: choicesOf(poolWords) },
        { kind: 'choice', field: 'fixed', label: 'Fixed', choices: [{ id: 'true', name: 'Fixed' }, { id: 'false', name: 'Not fixed' }] },
      ]}
      href={(model) => `/wear-models/${model.id}/show`}
      everyMs={15_000}
      empty={{ title: 'Nothing learned yet', text: 'Models are made after the first projection, for every part that has a life rating.' }}
    />
  );
}
