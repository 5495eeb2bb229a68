import type { ChecklistStep } from '@lintel/contract';
import { palette, stepKindWords } from '@lintel/ui';
import { Box } from '@mui/material';
import { partKindWords } from '../common/words.js';

/** Limits of a measured value, e.g. `15 to 25 mm`, `at most 400 N`. */
export function stepLimits({ unit = '', lower, upper }: Pick<ChecklistStep, 'unit' | 'lower' | 'upper'>): string {
  if (lower !== undefined && upper !== undefined) return `${lower} to ${upper} ${unit}`;
  if (upper !== undefined) return `at most ${upper} ${unit}`;
  if (lower !== undefined) return `at least ${lower} ${unit}`;
  return unit === '' ? '' : `in ${unit}`;
}

/** What else a step asks for, in words: where, what to choose from, how many, what it means. */
export function stepDetails(step: ChecklistStep): string[] {
  const { partKind, positionId, options = [], failing = [], resolution, unit = '', least, caution, safety, optional } = step;
  return [
    caution ? 'caution' : '',
    safety ? 'safety check' : '',
    partKind ? `at every ${partKindWords[partKind].toLowerCase()}` : positionId ? 'at one position' : '',
    options.length > 0 ? options.map((option) => (failing.includes(option) ? `${option} (fails)` : option)).join(' / ') : '',
    resolution === undefined ? '' : `in steps of ${resolution} ${unit}`.trim(),
    least === undefined ? '' : `${least} at least`,
    optional ? 'may be left out' : '',
  ].filter(Boolean);
}

/** One step of a checklist. */
export function StepLine({ step }: { step: ChecklistStep }) {
  const limits = stepLimits(step);
  const details = stepDetails(step);
  return (
    <>
      <Box component="span" sx={{ color: palette.slate }}>
        {stepKindWords[step.kind]}:{' '}
      </Box>
      {step.text}
      {limits ? <Box component="span" sx={{ fontWeight: 650 }}> ({limits.trim()})</Box> : null}
      {details.length > 0 ? <Box component="span" sx={{ color: palette.inkSoft, fontSize: '0.9em' }}> {details.join(', ')}</Box> : null}
    </>
  );
}
