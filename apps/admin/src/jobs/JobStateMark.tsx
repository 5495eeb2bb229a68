import type { Job } from '@lintel/contract';
import { palette } from '@lintel/ui';
import { Box } from '@mui/material';
import type { ReactNode } from 'react';
import { runStateWords } from './jobWords.js';

const shapes: Record<Job['state'], { colour: string; shape: ReactNode }> = {
  waiting: { colour: palette.slate, shape: <path d="M3 2h10M3 14h10M4 2c0 6 8 6 8 12M12 2c0 6-8 6-8 12" fill="none" stroke="currentColor" strokeWidth={1.6} /> },
  running: { colour: palette.ice, shape: <path d="M3 1.5 14 8 3 14.5Z" fill="currentColor" /> },
  done: { colour: palette.ice, shape: <path d="M2.5 8.6 6.4 12.4 13.6 4" fill="none" stroke="currentColor" strokeWidth={2.4} /> },
  failed: { colour: palette.signal, shape: <path d="M8 1 15.4 14.6H0.6ZM8 5.6v4.4M8 11.4v1.6" fill="none" stroke="currentColor" strokeWidth={1.8} /> },
  cancelled: { colour: palette.slate, shape: <path d="M2 8h12" stroke="currentColor" strokeWidth={3} /> },
};

/** State of a job: shape, word and colour. */
export function JobStateMark({ state }: { state: Job['state'] }) {
  const { colour, shape } = shapes[state];
  return (
    <Box component="span" sx={{ display: 'inline-flex', alignItems: 'center', gap: 0.8, color: colour, fontWeight: state === 'failed' ? 700 : 550 }}>
      <svg width="1em" height="1em" viewBox="0 0 16 16" aria-hidden="true">
        {shape}
      </svg>
      {runStateWords[state]}
    </Box>
  );
}
