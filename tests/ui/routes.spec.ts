import { priceMoves } from '@lintel/engine';
import type { RouteProblem } from '@lintel/engine';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PlanRoute, UnservedReasonWord, VisitItem } from '@lintel/contract';
import { unservedReason, visitItem } from '@lintel/contract';
import { clockMinutes, clockWord, laneKey, lanesOf, OUT } from '../../apps/admin/src/routes/lanes.js';
import type { Lane } from '../../apps/admin/src/routes/lanes.js';
import { cheapest, laneOfPrice, priceOffers, stepTo } from '../../apps/admin/src/routes/offers.js';
import { fitted } from '../../apps/admin/src/routes/mapPlan.js';
import { tilesOf } from '../../apps/admin/src/routes/tiles.js';
import { hoursSentence, joinSentence, unservedSentence } from '../../apps/admin/src/routes/routeWords.js';

describe('the clock of a lane', () => {
  // Checked against the time zone data of the runtime (Intl, ECMA-402), over every change of the clocks of these years.
  it('says the time that the clock at the technician’s home shows', () => {
    const zones = ['Europe/London', 'America/Chicago', 'Australia/Melbourne', 'Asia/Kathmandu', 'UTC'];
    fc.assert(
      fc.property(fc.date({ min: new Date('2026-01-01T00:00:00Z'), max: new Date('2029-01-01T00:00:00Z'), noInvalidDate: true }), fc.constantFrom(...zones), (date, timeZone) => {
        const instant = new Date(Math.floor(date.getTime() / 60_000) * 60_000);
        const onDate = new Intl.DateTimeFormat('sv-SE', { timeZone }).format(instant);
        const shown = new Intl.DateTimeFormat('en-GB', { timeZone, hour: '2-digit', minute: '2-digit', hourCycle: 'h23' }).format(instant);
        expect(clockWord(clockMinutes(instant.toISOString(), onDate, timeZone))).toBe(shown);
      }),
    );
  });

  it('says a time after midnight as one of the next day', () => {
    expect(clockWord(clockMinutes('2026-12-01T00:30:00Z', '2026-11-30', 'UTC'))).toBe('00:30 (next day)');
    expect(clockWord(-30)).toBe('23:30 (day before)');
  });
});

/** Two technicians with two shifts each, places on a line, one skill that the second lacks. */
const problem: RouteProblem = {
  travelMinutes: [0, 10, 20, 30].map((a) => [0, 10, 20, 30].map((b) => Math.abs(a - b))),
  technicians: ['a', 'b'].map((id) => ({ id, home: 0, skills: id === 'a' ? ['x'] : [], shifts: [{ from: 0, to: 480 }, { from: 1440, to: 1920 }] })),
  stops: [1, 2, 3].map((place) => ({ id: `s${place}`, place, minutes: 30, skills: place === 1 ? ['x'] : [], windows: [], unservedPrice: 500 })),
};
const routes = [{ technician: 'a', shift: 0, stops: ['s1', 's2'] }, { technician: 'b', shift: 1, stops: ['s3'] }];

function lanes(): Lane[] {
  const days = ['2026-12-07', '2026-12-08'];
  const all = ['a', 'b'].flatMap((technicianId) => days.map((onDate, shift) => ({
    technicianId, technicianName: technicianId, onDate, shift, shiftFrom: `${onDate}T07:00:00.000Z`, shiftTo: `${onDate}T15:00:00.000Z`, home: { latitude: 0, longitude: 0 },
    leaveHomeAt: null, endAt: null, visitIds: [], travelMinutes: 0, travelKm: 0, workMinutes: 0, waitingMinutes: 0, carry: [],
  } satisfies PlanRoute)));
  return lanesOf({ routes: all.reverse(), visitList: [] }, () => 'UTC');
}

describe('offers for a visit in the hand', () => {
  it('hold every price of the engine once, and the present place at no cost', () => {
    const offers = priceOffers(problem, routes, 's1')!;
    const prices = priceMoves(problem, routes, 's1');
    expect([...offers.byLane.values()].flat()).toEqual(prices);
    expect([offers.now.technician, offers.now.shift, offers.now.position, offers.now.difference]).toEqual(['a', 0, 0, 0]);
    expect(priceOffers(problem, [], 's1')!.now.technician).toBeNull();
    expect(priceOffers(problem, routes, 'nobody')).toBeNull();
  });

  it('are walked by keys: places, days, technicians on the same day, and out', () => {
    const offers = priceOffers(problem, routes, 's1')!;
    const at = lanes();
    expect(at.map(({ key }) => key)).toEqual(['a/0', 'a/1', 'b/0', 'b/1']);
    const later = stepTo(offers, at, offers.now, 'place-after');
    expect(later.position).toBe(1);
    expect(stepTo(offers, at, later, 'place-after')).toBe(later);
    expect(laneOfPrice(stepTo(offers, at, offers.now, 'day-after'))).toBe(laneKey('a', 1));
    const other = stepTo(offers, at, stepTo(offers, at, offers.now, 'day-after'), 'technician-after');
    expect([laneOfPrice(other), other.breaches.map(({ kind }) => kind)]).toEqual([laneKey('b', 1), ['skill']]);
    expect(laneOfPrice(stepTo(offers, at, other, 'technician-before'))).toBe(laneKey('a', 1));
    expect(laneOfPrice(stepTo(offers, at, other, 'out'))).toBe(OUT);
    expect(stepTo(offers, at, offers.now, 'day-before')).toBe(offers.now);
  });

  it('name the cheapest day first, none that breaks something, none where the visit is', () => {
    const offers = priceOffers(problem, routes, 's2')!;
    const places = cheapest(offers, 9);
    expect(places.map(laneOfPrice).sort()).toEqual(['a/0', 'a/1', 'b/0', 'b/1']);
    expect(places.every((price) => price !== offers.now && price.breaches.length === 0)).toBe(true);
    expect(places.map(({ difference }) => difference)).toEqual(places.map(({ difference }) => difference).sort((x, y) => x - y));
    expect(cheapest(priceOffers(problem, routes, 's3')!, 9).map(laneOfPrice)).not.toContain('b/1');
    expect(cheapest(priceOffers(problem, routes, 's1')!, 9).some(({ technician }) => technician === 'b')).toBe(false);
  });
});

describe('sentences of routes', () => {
  it('say every reason of the wire, each in its own words', () => {
    const said = unservedReason.options.map((reason: UnservedReasonWord) =>
      unservedSentence(reason, { skills: ['electrical'], costs: { travel: 0, late: 0, early: 0, moved: 0, trip: 0, unserved: 1200 } }, 'EUR'));
    expect(new Set(said).size).toBe(unservedReason.options.length);
    for (const sentence of said) expect(sentence).toMatch(/^[A-Z].*\.$/);
    expect(said[0]).toContain('electrical');
  });

  it('say why each piece of work joins a visit', () => {
    const facts = { dueOn: '2026-12-09', days: 3, costs: 250, saves: 3000, grade: 'unsafe' };
    const said = visitItem.shape.joins.shape.code.options.map((code) => joinSentence({ kind: 'finding', joins: { code, facts } } satisfies Pick<VisitItem, 'joins' | 'kind'>, 'EUR'));
    expect(new Set(said).size).toBe(said.length);
    for (const sentence of said) expect(sentence).not.toMatch(/undefined|NaN|not named/);
  });

  it('draw days with the same hours together', () => {
    const day = (weekday: number, from = '07:00', to = '16:00') => ({ weekday, from, to });
    expect(hoursSentence([1, 2, 3, 4, 5].map((weekday) => day(weekday)))).toBe('Mon–Fri 07:00–16:00');
    expect(hoursSentence([day(1), day(3), day(3, '17:00', '18:00')])).toBe('Mon 07:00–16:00; Wed 07:00–16:00, 17:00–18:00');
    expect(hoursSentence([])).toBe('none given');
  });
});

describe('tiles of the map', () => {
  const [width, height] = [640, 420];
  const latitude = fc.double({ min: -80, max: 80, noNaN: true });
  const longitude = fc.double({ min: -175, max: 175, noNaN: true });
  const spot = fc.tuple(longitude, latitude);
  type Square = { x: number; y: number; side: number };
  /** Corners are sums: a point on an edge may be on either side of it, by rounding. */
  const EDGE = 1e-6;
  const within = ({ x, y, side }: Square, atX: number, atY: number) => atX >= x - EDGE && atX <= x + side + EDGE && atY >= y - EDGE && atY <= y + side + EDGE;
  const onEdge = ({ x, y, side }: Square, atX: number, atY: number) => [x - atX, x + side - atX, y - atY, y + side - atY].some((gap) => Math.abs(gap) <= EDGE);

  // The common formula of tile numbers (Web Mercator, as in OGC Two Dimensional Tile Matrix Set, WebMercatorQuad), which does not know our projection.
  it('hold the places that are drawn over them', () => {
    fc.assert(fc.property(fc.array(spot, { minLength: 1, maxLength: 6 }), (spots) => {
      const projection = fitted(spots, width, height, true);
      const tiles = tilesOf(projection, width, height, 'z{z}/{x}/{y}');
      for (const [lon, lat] of spots) {
        const [x, y] = projection([lon, lat])!;
        const under = tiles.find((tile) => within(tile, x, y))!;
        const count = 2 ** Number(/^z(\d+)/.exec(under.url)![1]);
        const expected = [((lon + 180) / 360) * count, ((1 - Math.asinh(Math.tan((lat * Math.PI) / 180)) / Math.PI) / 2) * count];
        const [, column, row] = /\/(\d+)\/(\d+)$/.exec(under.url)!.map(Number);
        const [inX, inY] = [column! + (x - under.x) / under.side, row! + (y - under.y) / under.side];
        expect(Math.abs(inX - expected[0]!)).toBeLessThan(1e-6 * count);
        expect(Math.abs(inY - expected[1]!)).toBeLessThan(1e-6 * count);
      }
    }));
  });

  // Both sides of the finest scale: sites of one town, most of them at one end of it.
  it.each([false, true])('have every place in sight, also when those are near each other (tiles: %s)', (tiled) => {
    const near = fc.tuple(fc.integer({ min: 0, max: 100 }), fc.integer({ min: 0, max: 60 }));
    fc.assert(fc.property(fc.array(near, { minLength: 1, maxLength: 3 }), fc.constantFrom(2e-2, 1e-2, 1e-3, 5e-4, 1e-4), (towns, degrees) => {
      const spots = [...Array.from({ length: 8 }, () => [0, 0]), ...towns.map(([lon, lat]) => [lon * degrees, lat * degrees])] as [number, number][];
      const projection = fitted(spots, width, height, tiled);
      for (const spot of spots) {
        const [x, y] = projection(spot)!;
        expect(x).toBeGreaterThanOrEqual(0);
        expect(x).toBeLessThanOrEqual(width);
        expect(y).toBeGreaterThanOrEqual(0);
        expect(y).toBeLessThanOrEqual(height);
      }
    }));
  });

  it('cover the map without holes, near their own size, and are few', () => {
    fc.assert(fc.property(fc.array(spot, { minLength: 2, maxLength: 6 }), (spots) => {
      const projection = fitted(spots, width, height, true);
      const tiles = tilesOf(projection, width, height, '{z}/{x}/{y}');
      expect(tiles.length).toBeLessThanOrEqual(30);
      const world = 2 * Math.PI * projection.scale();
      const top = projection([0, 0])![1] - world / 2;
      for (const x of [0, 1, width / 2, width - 1]) {
        for (const y of [1, height / 2, height - 1].filter((one) => one > top && one < top + world)) {
          const over = tiles.filter((tile) => within(tile, x, y)).length;
            expect(over).toBeGreaterThan(0);
            if (!tiles.some((tile) => onEdge(tile, x, y))) expect(over).toBe(1);
        }
      }
      const [{ side } = { side: 0 }] = tiles;
      if (world > 256) expect(side / 256).toBeGreaterThan(Math.SQRT1_2 - 1e-9);
      expect(side / 256).toBeLessThan(Math.SQRT2 + 1e-9);
      expect(new Set(tiles.map(({ key }) => key)).size).toBe(tiles.length);
    }));
  });
});
