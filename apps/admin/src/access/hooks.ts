import { may } from '@lintel/contract';
import type { Resource, Role } from '@lintel/contract';
import { useQuery } from '@tanstack/react-query';
import { useDataProvider, useGetIdentity, usePermissions } from 'react-admin';
import type { SignedInAccount } from './authProvider.js';
import type { LintelDataProvider } from './dataProvider.js';

/** An answer that is no record, e.g. `/outlook`; asked again every `everyMs` where that is given. */
export function useAnswer<T>(path: string, options: { everyMs?: number | false; enabled?: boolean } = {}) {
  const provider = useDataProvider<LintelDataProvider>();
  return useQuery<T>({
    queryKey: ['answer', path],
    queryFn: ({ signal }) => provider.get<T>(path, signal),
    enabled: options.enabled ?? true,
    refetchInterval: options.everyMs ?? false,
  });
}

export function useApi(): LintelDataProvider {
  return useDataProvider<LintelDataProvider>();
}

/** Whether the account signed in may do that; false while that is not known. */
export function useMay(does: 'read' | 'write', what: Resource): boolean {
  const { permissions } = usePermissions<Role>();
  return permissions !== undefined && may(permissions, does, what);
}

export function useAccount(): SignedInAccount | undefined {
  return useGetIdentity().identity as unknown as SignedInAccount | undefined;
}
