import { palette } from '@lintel/ui';
import { Box, Button, LinearProgress, Skeleton, Typography } from '@mui/material';
import type { ReactNode } from 'react';
import { refusalOf } from '../access/http.js';

/** Loading: quiet, and said to screen readers. */
export function Waiting({ what = 'this' }: { what?: string }) {
  return (
    <Box role="status" aria-label={`Loading ${what}`} sx={{ padding: '26px 0', maxWidth: 420 }}>
      <Typography sx={{ color: palette.slate, marginBottom: 1 }}>Loading {what}…</Typography>
      <LinearProgress aria-hidden="true" />
    </Box>
  );
}

export function WaitingRows({ rows = 6 }: { rows?: number }) {
  return (
    <Box role="status" aria-label="Loading" sx={{ padding: '8px 12px' }}>
      {Array.from({ length: rows }, (_, index) => (
        <Skeleton key={index} height={34} animation="wave" />
      ))}
    </Box>
  );
}

/** Nothing there: says what would be here and what to do next. */
export function Nothing({ title, children, action }: { title: string; children?: ReactNode; action?: ReactNode }) {
  return (
    <Box sx={{ padding: '30px 20px', textAlign: 'center', color: palette.inkSoft }}>
      <svg width={54} height={44} viewBox="0 0 54 44" aria-hidden="true">
        <path d="M3 4h48v8H3z" fill={palette.frostDeep} stroke={palette.line} />
        <path d="M10 12v30M44 12v30" stroke={palette.line} strokeWidth={4} />
        <path d="M0 42.5h54" stroke={palette.line} strokeWidth={2} />
      </svg>
      <Typography variant="h3" component="p" sx={{ color: palette.ink, marginTop: 1 }}>
        {title}
      </Typography>
      {children ? <Typography sx={{ marginTop: 0.5, maxWidth: '60ch', marginInline: 'auto', textWrap: 'balance' }}>{children}</Typography> : null}
      {action ? <Box sx={{ marginTop: 1.5 }}>{action}</Box> : null}
    </Box>
  );
}

const titles: Record<number, string> = {
  0: 'No connection',
  401: 'Please sign in again',
  403: 'This account may not see that',
  404: 'Not found',
  429: 'Too many requests',
};

/** An error: what happened in the server's own words, a way on, and the number to quote. */
export function Trouble({ error, again }: { error: unknown; again?: (() => void) | undefined }) {
  const { status, detail, problem } = refusalOf(error);
  return (
    <Box role="alert" sx={{ border: `1px solid ${palette.signal}`, borderLeftWidth: 6, background: palette.signalSoft, padding: '16px 20px', borderRadius: '3px', maxWidth: 720 }}>
      <Typography variant="h3" component="p" sx={{ color: palette.signalDeep }}>
        {problem?.title ?? titles[status] ?? 'This page cannot be shown'}
      </Typography>
      <Typography sx={{ marginTop: 0.5, overflowWrap: 'anywhere' }}>{detail}</Typography>
      {problem?.requestId ? (
        <Typography sx={{ marginTop: 0.5, fontSize: '0.82rem', color: palette.inkSoft }}>Request {problem.requestId}</Typography>
      ) : null}
      {again ? (
        <Button variant="outlined" onClick={again} sx={{ marginTop: 1.5 }}>
          Try again
        </Button>
      ) : null}
    </Box>
  );
}
