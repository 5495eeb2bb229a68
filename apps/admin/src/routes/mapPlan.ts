import { greatCircleKm } from '@lintel/engine';
import type { GeoProjection } from 'd3-geo';
import { geoMercator, geoPath } from 'd3-geo';
import type { PlanVisit } from '@lintel/contract';
import type { Lane } from './lanes.js';

export type Spot = [longitude: number, latitude: number];

export interface MapSite {
  siteId: string;
  name: string;
  spot: Spot;
  /** In the order of the lanes; empty: nothing there is served. */
  stops: { visit: PlanVisit; number: number; lane: Lane }[];
  unserved: PlanVisit[];
}

export interface MapHome {
  technicianId: string;
  name: string;
  spot: Spot;
}

const spotOf = ({ latitude, longitude }: { latitude: number | null; longitude: number | null }): Spot | null => (latitude === null || longitude === null ? null : [longitude, latitude]);

/** What the map shows of the lanes looked at: each site once, whatever number of visits it has. */
export function mapSites(lanes: readonly Lane[], unserved: readonly PlanVisit[]): MapSite[] {
  const sites = new Map<string, MapSite>();
  const at = (visit: PlanVisit): MapSite | null => {
    const spot = spotOf(visit);
    if (spot === null) return null;
    const site = sites.get(visit.siteId) ?? { siteId: visit.siteId, name: visit.siteName, spot, stops: [], unserved: [] };
    sites.set(visit.siteId, site);
    return site;
  };
  for (const lane of lanes) for (const { visit, number } of lane.stops) at(visit)?.stops.push({ visit, number, lane });
  for (const visit of unserved) at(visit)?.unserved.push(visit);
  return [...sites.values()];
}

export function mapHomes(lanes: readonly Lane[]): MapHome[] {
  const homes = new Map(lanes.map(({ route: { technicianId, technicianName, home } }) => [technicianId, { technicianId, name: technicianName, spot: spotOf(home)! }]));
  return [...homes.values()];
}

/** Home, the stops in order, home. */
export function routeLine({ route, stops }: Lane): Spot[] {
  const home = spotOf(route.home)!;
  const spots = stops.map(({ visit }) => spotOf(visit)).filter((spot) => spot !== null);
  return [home, ...spots, home];
}

/** Pixels for a radian at most, some 160 m a pixel at the equator: the coast of the base map is no finer. */
const FINEST = 40_000;
/** With tiles, streets can be seen: some 10 m a pixel. */
const FINEST_TILED = 640_000;
/** From here on the finer base map is fetched. */
const FINE_FROM = 5_000;
export const wantsFine = (projection: GeoProjection): boolean => projection.scale() > FINE_FROM;

/** Mercator's projection with all spots in sight. */
export function fitted(spots: readonly Spot[], width: number, height: number, tiled = false): GeoProjection {
  const finest = tiled ? FINEST_TILED : FINEST;
  const projection = geoMercator();
  const coordinates = spots.length > 0 ? spots.map((spot) => [...spot]) : [[-20, 30], [40, 65]];
  const all = { type: 'MultiPoint' as const, coordinates };
  projection.fitExtent([[34, 30], [width - 34, height - 30]], all);
  if (projection.scale() > finest || !Number.isFinite(projection.scale())) {
    projection.scale(finest).translate([0, 0]);
    const [[west, north], [east, south]] = geoPath(projection).bounds(all);
    // The middle of their frame, not their mean: many sites on one side would push the others out of sight.
    projection.translate([(width - west - east) / 2, (height - north - south) / 2]);
  }
  return projection.clipExtent([[-2, -2], [width + 2, height + 2]]);
}

export interface ScaleBar {
  km: number;
  /** Pixels. */
  length: number;
}

/** A round distance that is about a quarter of the map wide, measured in its middle. */
export function scaleBar(projection: GeoProjection, width: number, height: number): ScaleBar | null {
  const [west, east] = [width / 2 - 50, width / 2 + 50].map((x) => projection.invert?.([x, height / 2]) ?? null);
  if (!west || !east) return null;
  const kmPerPixel = greatCircleKm({ longitude: west[0], latitude: west[1] }, { longitude: east[0], latitude: east[1] }) / 100;
  const wanted = (kmPerPixel * width) / 4;
  const power = 10 ** Math.floor(Math.log10(wanted));
  const km = [5, 2, 1].map((step) => step * power).find((step) => step <= wanted) ?? power;
  return { km, length: km / kmPerPixel };
}
