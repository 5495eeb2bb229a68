import type { GeoProjection } from 'd3-geo';

/** Pixels of a tile at its own size. */
const SIDE = 256;
/** Servers have no finer ones as a rule. */
const FINEST_ZOOM = 19;

export interface Tile {
  key: string;
  url: string;
  x: number;
  y: number;
  /** Pixels on the map. */
  side: number;
}

/**
 * The tiles that fill a map of so many pixels in the projection of Web Mercator (256-pixel tiles, `{z}/{x}/{y}` counted from the north-west,
 * as in OGC Two Dimensional Tile Matrix Set, WebMercatorQuad), of the zoom whose tiles are nearest to their own size.
 */
export function tilesOf(projection: GeoProjection, width: number, height: number, template: string): Tile[] {
  const world = 2 * Math.PI * projection.scale();
  const zoom = Math.min(FINEST_ZOOM, Math.max(0, Math.round(Math.log2(world / SIDE))));
  const count = 2 ** zoom;
  const side = world / count;
  const [middleX, middleY] = projection([0, 0])!;
  const [west, north] = [middleX - world / 2, middleY - world / 2];
  const range = (from: number, to: number) => Array.from({ length: Math.max(0, to - from) }, (_, index) => from + index);
  const rows = range(Math.max(0, Math.floor(-north / side)), Math.min(count, Math.ceil((height - north) / side)));
  const columns = range(Math.floor(-west / side), Math.ceil((width - west) / side));
  return rows.flatMap((row) => columns.map((column) => ({
    key: `${zoom}/${column}/${row}`,
    // Across the antimeridian the world begins anew.
    url: template.replace('{z}', String(zoom)).replace('{x}', String(((column % count) + count) % count)).replace('{y}', String(row)),
    x: west + column * side, y: north + row * side, side,
  })));
}
