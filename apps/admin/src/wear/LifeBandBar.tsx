import type { AgeUnit } from '@lintel/contract';
import { palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { lifeAmount } from '../fleet/doors/life.js';

interface LifeBandBarProps {
  age: number;
  low: number;
  high: number;
  unit: AgeUnit;
  /** End of the scale that bars beside each other share; left out: no bar. */
  most?: number;
}

/** An age with its interval: in figures, and on a line where several are compared. */
export function LifeBandBar({ age, low, high, unit, most }: LifeBandBarProps) {
  const place = (value: number) => (most === undefined ? 0 : Math.min(100, (value / most) * 100));
  return (
    <Box sx={{ whiteSpace: { sm: 'nowrap' } }}>
      <strong>{lifeAmount(age, unit)}</strong>
      <Box component="span" sx={{ color: palette.slate }}> ({lifeAmount(low, unit).replace(/ \w+$/, '')} – {lifeAmount(high, unit).replace(/ \w+$/, '')})</Box>
      {most === undefined ? null : (
        <svg width="100%" height={12} viewBox="0 0 100 12" preserveAspectRatio="none" aria-hidden="true" style={{ display: 'block', minWidth: 140 }}>
          <rect x={0} y={5} width={100} height={2} fill={palette.lineSoft} />
          <rect x={place(low)} y={2} width={Math.max(0.8, place(high) - place(low))} height={8} fill={palette.ice} opacity={0.3} />
          <rect x={Math.min(99, place(age))} y={0} width={1} height={12} fill={palette.ice} />
        </svg>
      )}
    </Box>
  );
}
