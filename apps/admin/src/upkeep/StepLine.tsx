import type { ChecklistStep } from '@lintel/contract';
import { palette } from '@lintel/ui';
import { Box } from '@mui/material';

export const stepWords: Record<ChecklistStep['kind'], string> = {
  confirm: 'Confirm',
  measure: 'Measure',
  choose: 'Choose',
  photograph: 'Photograph',
  'read-counter': 'Read the counter',
  'test-device': 'Test the device',
  'force-test': 'Measure the closing force',
  'fit-part': 'Fit a part',
  text: 'Write down',
};

/** Limits of a measured value, e.g. `15 to 25 mm`, `at most 400 N`. */
export function stepLimits({ unit = '', lower, upper }: ChecklistStep): string {
  if (lower !== undefined && upper !== undefined) return `${lower} to ${upper} ${unit}`;
  if (upper !== undefined) return `at most ${upper} ${unit}`;
  if (lower !== undefined) return `at least ${lower} ${unit}`;
  return unit === '' ? '' : `in ${unit}`;
}

/** One step of a checklist. */
export function StepLine({ step }: { step: ChecklistStep }) {
  const limits = stepLimits(step);
  return (
    <>
      <Box component="span" sx={{ color: palette.slate }}>
        {stepWords[step.kind]}:{' '}
      </Box>
      {step.text}
      {limits ? <Box component="span" sx={{ fontWeight: 650 }}> ({limits.trim()})</Box> : null}
    </>
  );
}
