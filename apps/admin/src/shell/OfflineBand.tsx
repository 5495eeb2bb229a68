import { palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { useSyncExternalStore } from 'react';

function subscribe(tell: () => void) {
  window.addEventListener('online', tell);
  window.addEventListener('offline', tell);
  return () => {
    window.removeEventListener('online', tell);
    window.removeEventListener('offline', tell);
  };
}

export function useOnline(): boolean {
  return useSyncExternalStore(subscribe, () => navigator.onLine);
}

/** Says that the network is gone: what is shown may be old, and nothing can be saved. */
export function OfflineBand() {
  if (useOnline()) return null;
  return (
    <Box role="status" sx={{ background: palette.signalSoft, color: palette.signalDeep, borderBottom: `2px solid ${palette.signal}`, padding: '8px 26px', fontWeight: 600 }}>
      No connection. What you see may be out of date, and nothing can be saved until the connection is back.
    </Box>
  );
}
