import { palette } from '@lintel/ui';
import { Box, Typography } from '@mui/material';
import { BooleanInput, NumberInput, SelectInput, TextInput } from 'react-admin';

const pair = { display: 'grid', gridTemplateColumns: { xs: '1fr', sm: '1fr 1fr' }, gap: '0 16px', width: '100%' };

/** What the wear limit of a roller chain goes by. */
export function ChainInputs() {
  return (
    <>
      <Typography variant="h3" sx={{ marginTop: 1 }}>Roller chain</Typography>
      <Typography sx={{ color: palette.slate }}>Its limit is 3 % of elongation, 1.5 % with fixed shaft centres, less above 66 teeth; the maker’s own limit where that is tighter.</Typography>
      <Box sx={pair}>
        <NumberInput source="chainPitchMm" label="Nominal pitch, mm" min={0} step={0.001} />
        <NumberInput source="sprocketTeeth" label="Teeth of the larger sprocket" min={5} step={1} />
        <NumberInput source="chainLimitPercent" label="Maker’s wear limit, %" min={0} max={3} step={0.1} />
        <BooleanInput source="fixedCentres" label="Shaft centres are fixed, or not known" defaultValue />
      </Box>
    </>
  );
}

/** What the rating life of a bearing goes by. */
export function BearingInputs() {
  return (
    <>
      <Typography variant="h3" sx={{ marginTop: 1 }}>Rolling bearings</Typography>
      <Typography sx={{ color: palette.slate }}>Together they give the rating life by ISO 281, which nine in ten reach.</Typography>
      <Box sx={pair}>
        <SelectInput source="bearingKind" label="Rolling elements" choices={[{ id: 'ball', name: 'Balls' }, { id: 'roller', name: 'Rollers' }]} />
        <NumberInput source="turnsPerCycle" label="Turns of the shaft in one door cycle" min={0} step={0.1} />
        <NumberInput source="bearingRatingKn" label="Dynamic rating C, kN" min={0} step={0.1} />
        <NumberInput source="bearingLoadKn" label="Equivalent load P, kN" min={0} step={0.1} />
      </Box>
      <TextInput source="bearingSource" label="Where these figures come from" />
    </>
  );
}
