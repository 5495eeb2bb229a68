import type { WearModel } from '@lintel/contract';
import { palette } from '@lintel/ui';
import { Box } from '@mui/material';

/** Whether a version is in use, and whether it is fixed: by shape and word. */
export function UseMark({ model: { inUse, fixed } }: { model: Pick<WearModel, 'inUse' | 'fixed'> }) {
  const colour = inUse ? palette.ice : palette.slateSoft;
  return (
    <Box component="span" sx={{ display: 'inline-flex', alignItems: 'center', gap: 0.7, whiteSpace: 'nowrap' }}>
      <svg width={16} height={16} viewBox="0 0 16 16" aria-hidden="true">
        {fixed ? (
          <path d="M4.5 7V5a3.5 3.5 0 0 1 7 0v2h1v7h-9V7Zm1.8 0h3.4V5a1.7 1.7 0 0 0-3.4 0Z" fill={colour} />
        ) : (
          <circle cx={8} cy={8} r={5} fill={inUse ? colour : 'none'} stroke={colour} strokeWidth={1.6} />
        )}
      </svg>
      {fixed ? 'fixed, in use' : inUse ? 'in use' : 'not in use'}
    </Box>
  );
}
