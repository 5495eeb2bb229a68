import { z } from 'zod';

/** What the map of a plan is drawn on. */
export const mapSettings = z.object({
  /** A tile server's address with `{z}`, `{x}` and `{y}` (Web Mercator, 256 pixels) and whom its map is owed to; null: the map that comes with the pages. */
  tiles: z.object({ url: z.string(), attribution: z.string() }).nullable(),
}).meta({ id: 'MapSettings' });
export type MapSettings = z.infer<typeof mapSettings>;
