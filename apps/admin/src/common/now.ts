import { useState } from 'react';

/** The instant at which this part of the page was first drawn, ISO 8601 in UTC. */
export function useNow(): string {
  const [now] = useState(() => new Date().toISOString());
  return now;
}

/** Today in UTC, for distances in days. */
export function useToday(): string {
  return useNow().slice(0, 10);
}
