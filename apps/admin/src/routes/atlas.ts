import { keepPreviousData, useQuery } from '@tanstack/react-query';
import { feature, mesh } from 'topojson-client';
import type { GeometryCollection, Topology } from 'topojson-specification';
import fineUrl from 'world-atlas/countries-10m.json?url';
import coarseUrl from 'world-atlas/countries-50m.json?url';

/** Land and borders, 1 : 50 or 1 : 10 million (Natural Earth, public domain, by the package world-atlas): comes from our own server. */
export interface Atlas {
  land: ReturnType<typeof feature>;
  borders: ReturnType<typeof mesh>;
}

type Countries = Topology<{ countries: GeometryCollection; land: GeometryCollection }>;

export function useAtlas(fine: boolean, enabled: boolean) {
  return useQuery<Atlas>({
    queryKey: ['atlas', fine],
    enabled,
    placeholderData: keepPreviousData,
    staleTime: Infinity,
    queryFn: async ({ signal }) => {
      const answer = await fetch(fine ? fineUrl : coarseUrl, { signal });
      if (!answer.ok) throw new Error(`The map could not be fetched (${answer.status}).`);
      const topology = (await answer.json()) as Countries;
      return { land: feature(topology, topology.objects.land), borders: mesh(topology, topology.objects.countries, (a, b) => a !== b) };
    },
  });
}
