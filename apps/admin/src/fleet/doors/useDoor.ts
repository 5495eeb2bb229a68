import type { Door, FittedPart, Position, Site } from '@lintel/contract';
import { useGetList, useGetOne } from 'react-admin';

/** A position of the door's type with the part that is fitted there now. */
export interface DoorPosition {
  id: string;
  position: Position;
  part: FittedPart | null;
}

const everyMs = 15_000;
const whole = { page: 1, perPage: 100 };

/** A door with its site and its positions; asked again now and then, since a projection follows every reading. */
export function useDoor(id: string) {
  const door = useGetOne<Door>('doors', { id }, { refetchInterval: everyMs });
  const site = useGetOne<Site>('sites', { id: door.data?.siteId ?? '' }, { enabled: door.data !== undefined });
  const positions = useGetList<Position>(
    'positions',
    { filter: { doorTypeId: door.data?.doorTypeId, archived: 'false' }, pagination: whole, sort: { field: 'ordinal', order: 'ASC' } },
    { enabled: door.data !== undefined },
  );
  const parts = useGetList<FittedPart>(
    'fitted-parts',
    { filter: { doorId: id, fitted: 'true' }, pagination: whole, sort: { field: 'positionOrdinal', order: 'ASC' } },
    { refetchInterval: everyMs },
  );
  const fitted: DoorPosition[] = (positions.data ?? []).map((position) => ({
    id: position.id,
    position,
    part: parts.data?.find((part) => part.positionId === position.id) ?? null,
  }));
  return {
    door: door.data,
    site: site.data,
    positions: fitted,
    error: door.error ?? site.error ?? positions.error ?? parts.error,
    isPending: door.isPending || site.isPending || positions.isPending || parts.isPending,
    refetch: () => Promise.all([door.refetch(), site.refetch(), positions.refetch(), parts.refetch()]),
  };
}
