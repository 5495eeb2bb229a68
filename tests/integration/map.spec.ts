import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { apiOptionsFrom } from '../../apps/api/src/platform/environment.js';
import { TestApi } from '../support/api.js';
import { openApiWorld, type ApiWorld } from '../support/apiWorld.js';

let world: ApiWorld;
beforeAll(async () => {
  world = await openApiWorld();
});
afterAll(() => world?.close());

const tiles = { url: 'https://tiles.example:8443/streets/{z}/{x}/{y}.png', attribution: 'Map of the example' };
const imagesOf = (headers: Record<string, unknown>) => /img-src ([^;]*)/.exec(String(headers['content-security-policy']))![1];

describe('tiles of a map', () => {
  it('are none unless somebody names a server, and the pages may load pictures from nowhere else', async () => {
    const answer = await world.callers.planner.get('map');
    expect([answer.status, answer.body, imagesOf(answer.headers)]).toEqual([200, { tiles: null }, "'self' data: blob:"]);
    for (const role of ['technician', 'owner'] as const) expect((await world.callers[role].get('map')).status).toBe(403);
  });

  it('come from the server that is named, which alone is added to the policy, for pictures alone', async () => {
    const api = await TestApi.open(world.database.store, { tiles });
    const answer = await (await api.signIn('planner@a.example')).get('map');
    expect(answer.body).toEqual({ tiles });
    expect(imagesOf(answer.headers)).toBe("'self' data: blob: https://tiles.example:8443");
    expect(String(answer.headers['content-security-policy']).match(/tiles\.example/g)).toHaveLength(1);
    await api.close();
  });

  it('are named by the environment, whole and with whom they are owed to, or not at all', () => {
    expect(apiOptionsFrom({}).tiles).toBeNull();
    expect(apiOptionsFrom({ TILE_URL: tiles.url, TILE_ATTRIBUTION: tiles.attribution }).tiles).toEqual(tiles);
    for (const url of ['https://tiles.example/{z}/{x}.png', 'https://{z}.example/{x}/{y}', 'ftp://tiles.example/{z}/{x}/{y}', '/{z}/{x}/{y}', 'https://{s}.tiles.example/{z}/{x}/{y}']) {
      expect(() => apiOptionsFrom({ TILE_URL: url, TILE_ATTRIBUTION: 'x' })).toThrow('TILE_URL');
    }
    expect(() => apiOptionsFrom({ TILE_URL: tiles.url })).toThrow('TILE_ATTRIBUTION');
  });
});
