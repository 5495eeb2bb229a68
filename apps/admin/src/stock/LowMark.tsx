import { palette } from '@lintel/ui';
import { Box } from '@mui/material';

/** A quantity, with a sign and a word where it is low. */
export function Quantity({ value, low, word = 'low' }: { value: number; low: boolean; word?: string }) {
  if (!low) return <>{value}</>;
  return (
    <Box component="span" sx={{ color: palette.signalDeep, fontWeight: 650, whiteSpace: 'nowrap' }}>
      ▲ {value}, {word}
    </Box>
  );
}
