export interface Coordinates {
  latitude: number;
  longitude: number;
}

/** Mean radius of the Earth R₁ (IUGG): (2a + b) / 3 of the GRS 80 ellipsoid. */
const EARTH_RADIUS_KM = 6371.0088;
const RADIANS = Math.PI / 180;

/** Distance along the great circle in kilometres, by the haversine formula on a sphere. Within 0.6 % of the ellipsoid's. */
export function greatCircleKm(from: Coordinates, to: Coordinates): number {
  const rise = Math.sin(((to.latitude - from.latitude) * RADIANS) / 2);
  const turn = Math.sin(((to.longitude - from.longitude) * RADIANS) / 2);
  const half = rise * rise + Math.cos(from.latitude * RADIANS) * Math.cos(to.latitude * RADIANS) * turn * turn;
  return 2 * EARTH_RADIUS_KM * Math.asin(Math.min(1, Math.sqrt(half)));
}

/** Travel by great circle × detour factor at a speed, for places of which no more is known. */
export function estimatedTravel(
  from: Coordinates,
  to: Coordinates,
  { speedKmh, detourFactor }: { speedKmh: number; detourFactor: number },
): { minutes: number; km: number } {
  const km = greatCircleKm(from, to) * detourFactor;
  return { km, minutes: (km / speedKmh) * 60 };
}
