import type { DoorType, PartKind, Position } from '@lintel/contract';
import { DoorElevation, palette } from '@lintel/ui';
import { Box, Typography } from '@mui/material';
import { BooleanInput, NumberInput, SelectInput, TextInput, required, useGetList, useGetOne, useRecordContext } from 'react-admin';
import { useFormContext, useWatch } from 'react-hook-form';
import { useSearchParams } from 'react-router';
import { CyclesInput } from '../../common/inputs.js';
import { CreatePage, EditPage } from '../../common/RecordForm.js';
import { choicesOf, partKindWords } from '../../common/words.js';
import { CostInputs } from '../../wear/CostInputs.js';
import { BearingInputs, ChainInputs } from '../../wear/HandbookInputs.js';

const typePage = (id: unknown) => `/door-types/${String(id)}/show`;
const fields = ['name', 'safetyDevice', 'drawnX', 'drawnY', 'ordinal', 'b10Cycles', 'b10Months', 'lifeShape', 'shapeSpread', 'ratingSpread', 'ratingSource', 'plannedCost', 'failureCost', 'costCurrency', 'b10dCycles',
  'bearingKind', 'bearingRatingKn', 'bearingLoadKn', 'turnsPerCycle', 'bearingSource', 'chainPitchMm', 'sprocketTeeth', 'fixedCentres', 'chainLimitPercent'];

/** The type's drawing with this position on it; pointing at a place puts it there. */
function Placing({ doorTypeId }: { doorTypeId: string }) {
  const own = useRecordContext<Position>();
  const { setValue } = useFormContext();
  const [drawnX, drawnY, name] = useWatch({ name: ['drawnX', 'drawnY', 'name'] }) as [number | null, number | null, string | undefined];
  const { data: type } = useGetOne<DoorType>('door-types', { id: doorTypeId }, { enabled: doorTypeId !== '' });
  const { data: positions = [] } = useGetList<Position>('positions', {
    filter: { doorTypeId, archived: 'false' },
    pagination: { page: 1, perPage: 100 },
    sort: { field: 'ordinal', order: 'ASC' },
  });
  if (!type) return null;
  const others = positions.filter((position) => position.id !== own?.id);
  const put = (x: number, y: number) => {
    setValue('drawnX', x, { shouldDirty: true });
    setValue('drawnY', y, { shouldDirty: true });
  };
  return (
    <Box sx={{ width: '100%', marginBottom: 1 }}>
      <Typography sx={{ color: palette.slate }}>Point at the place on the drawing, or type its shares below.</Typography>
      <DoorElevation
        name={type.name}
        kind={type.kind}
        heated={type.heated}
        widthMm={type.widthMm}
        heightMm={type.heightMm}
        units="metric"
        maxHeight={420}
        positions={[
          ...others.map((position) => ({ id: position.id, name: position.name, drawnX: position.drawnX, drawnY: position.drawnY, condition: null, word: String(position.ordinal) })),
          { id: 'this', name: name ?? 'this position', drawnX: drawnX ?? 0.5, drawnY: drawnY ?? 0.5, condition: null, word: 'here' },
        ]}
        selectedId="this"
        onPlace={put}
      />
    </Box>
  );
}

function Fields({ fresh }: { fresh: boolean }) {
  const [doorTypeId, safetyDevice, kind] = useWatch({ name: ['doorTypeId', 'safetyDevice', 'kind'] }) as [string | undefined, boolean | undefined, PartKind | undefined];
  return (
    <>
      {fresh ? <SelectInput source="kind" label="Kind of part" choices={choicesOf(partKindWords)} validate={required()} /> : null}
      <TextInput source="name" label="Name" validate={required()} />
      <BooleanInput source="safetyDevice" label="It is a safety device" />
      <NumberInput source="ordinal" label="Place in the order" min={0} step={1} validate={required()} />
      <Placing doorTypeId={doorTypeId ?? ''} />
      <Pair>
        <NumberInput source="drawnX" label="Share of the drawing’s width, from the left" min={0} max={1} step={0.001} validate={required()} />
        <NumberInput source="drawnY" label="Share of its height, from the top" min={0} max={1} step={0.001} validate={required()} />
      </Pair>
      <Typography variant="h3" sx={{ marginTop: 1 }}>
        Life rating
      </Typography>
      <Typography sx={{ color: palette.slate }}>The age by which one part in ten has failed (B10): in cycles, or in months for parts that age by time; not both.</Typography>
      <Pair>
        <CyclesInput source="b10Cycles" label="B10, cycles" />
        <NumberInput source="b10Months" label="B10, months" min={1} step={1} />
      </Pair>
      <Pair>
        <NumberInput source="lifeShape" label="Weibull shape" step={0.1} helperText="1: fails by chance; above 1: wears out" />
        <NumberInput source="shapeSpread" label="Spread of ln(shape)" step={0.05} />
      </Pair>
      <NumberInput source="ratingSpread" label="Spread of ln(B10)" step={0.05} helperText="How far the rating may be off" />
      <TextInput source="ratingSource" label="Where the rating comes from" />
      {safetyDevice ? <CyclesInput source="b10dCycles" label="B10D, operations" helperText="From the maker: by then one in ten has failed dangerously (ISO 13849-1)" /> : null}
      {kind === 'drive-chain' ? <ChainInputs /> : null}
      {kind === 'roller-bearings' || kind === 'drive-motor' ? <BearingInputs /> : null}
      <CostInputs />
    </>
  );
}

function Pair({ children }: { children: React.ReactNode }) {
  return <Box sx={{ display: 'grid', gridTemplateColumns: { xs: '1fr', sm: '1fr 1fr' }, gap: '0 16px', width: '100%' }}>{children}</Box>;
}

export function PositionCreate() {
  const [parameters] = useSearchParams();
  const doorTypeId = parameters.get('doorTypeId') ?? '';
  return (
    <CreatePage
      resource="positions"
      heading="Add a position"
      up={{ to: doorTypeId ? typePage(doorTypeId) : '/door-types', word: 'Door type' }}
      then={() => typePage(doorTypeId)}
      defaults={{ doorTypeId, safetyDevice: false, drawnX: 0.5, drawnY: 0.5, ordinal: 50 }}
    >
      <Fields fresh />
    </CreatePage>
  );
}

export function PositionEdit() {
  return (
    <EditPage
      resource="positions"
      heading={(position) => String(position['name'])}
      up={(position) => ({ to: typePage(position['doorTypeId']), word: String(position['doorTypeName']) })}
      then={(_resource, _id, position) => typePage(position?.['doorTypeId'])}
      archiving="It leaves the drawing of new doors; parts that were fitted there stay in the history."
      fields={fields}
    >
      <Fields fresh={false} />
    </EditPage>
  );
}
