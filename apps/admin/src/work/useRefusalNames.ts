import type { Position, WorkRefusalFacts } from '@lintel/contract';
import type { RefusalNames } from '@lintel/ui';
import { useGetMany } from 'react-admin';

/** Names of the positions that refusals speak of, fetched when there are any. */
export function useRefusalNames(refusals: readonly WorkRefusalFacts[]): RefusalNames {
  const ids = [...new Set(refusals.flatMap(({ facts }) => (Array.isArray(facts['positionIds']) ? (facts['positionIds'] as string[]) : [])))];
  const { data = [] } = useGetMany<Position>('positions', { ids }, { enabled: ids.length > 0 });
  const names = new Map(data.filter(Boolean).map(({ id, name }) => [id, name]));
  return { position: (id) => names.get(id) };
}
