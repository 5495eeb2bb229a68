import fc from 'fast-check';
import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { ConditionMark, DoorElevation, elevationGeometry, placeLabels, StateMark, VerdictMark } from '@lintel/ui';

describe('the front elevation', () => {
  it('keeps the proportion of every door and stays within its sheet', () => {
    const size = fc.integer({ min: 300, max: 20_000 });
    fc.assert(
      fc.property(size, size, fc.integer({ min: 250, max: 1400 }), fc.integer({ min: 250, max: 900 }), (widthMm, heightMm, maxWidth, maxHeight) => {
        const { opening, width, height } = elevationGeometry(widthMm, heightMm, maxWidth, maxHeight);
        expect(opening.width / opening.height / (widthMm / heightMm)).toBeCloseTo(1, 9);
        expect(width).toBeLessThanOrEqual(maxWidth + 1e-6);
        expect(height).toBeLessThanOrEqual(maxHeight + 1e-6);
        expect(opening.x).toBeGreaterThan(0);
        expect(opening.x + opening.width).toBeLessThan(width);
        expect(opening.y + opening.height).toBeLessThan(height);
      }),
      { seed: 4711 },
    );
  });

  it('shows every position as a button with its name, its condition in words, and more where there is more', () => {
    const markup = renderToStaticMarkup(
      createElement(DoorElevation, {
        name: 'door X-1',
        kind: 'freezer',
        heated: true,
        widthMm: 2000,
        heightMm: 3000,
        units: 'us',
        state: 'out-of-service',
        positions: [
          { id: 'a', name: 'Drive chain', drawnX: 0.8, drawnY: 0.06, condition: 'worn', detail: 'likely end 3 Mar 2027' },
          { id: 'b', name: 'Safety beam', drawnX: 0.05, drawnY: 0.84, condition: null },
        ],
      }),
    );
    expect(markup).toContain('aria-label="Drive chain: worn, likely end 3 Mar 2027"');
    expect(markup).toContain('aria-label="Safety beam: no part"');
    expect(markup.match(/role="button"/g)).toHaveLength(2);
    expect(markup.match(/tabindex="0"/gi)).toHaveLength(2);
    // 2,000 mm and 3,000 mm at 25.4 mm to the inch (exact since the international yard of 1959).
    expect(markup).toContain('78.7 in wide, 118.1 in high');
    expect(markup).toContain('out of service');
  });

  it('draws in a mark when the part ends: a band and a tick within the span, nothing of what lies beyond', () => {
    const drawn = (life: { early: number; middle: number; late: number }) =>
      renderToStaticMarkup(
        createElement(DoorElevation, {
          name: 'door X-2', kind: 'dock', heated: false, widthMm: 2000, heightMm: 3000, units: 'metric',
          positions: [{ id: 'a', name: 'Drive chain', drawnX: 0.5, drawnY: 0.5, condition: 'sound', life }],
        }),
      );
    const paths = (markup: string) => [...(/<g data-part="life">(.*?)<\/g>/.exec(markup)?.[1] ?? '').matchAll(/ d="([^"]+)"/g)].map((match) => match[1]!);
    expect(paths(drawn({ early: 1.2, middle: 2, late: 5 }))).toHaveLength(1);
    expect(paths(drawn({ early: 0.5, middle: 1.4, late: 3 }))).toHaveLength(2);
    const [track, band, tick] = paths(drawn({ early: 0.25, middle: 0.5, late: 0.75 })).map((path) => path.match(/[\d.]+/g)!.map(Number));
    const [x, , width] = track as [number, number, number];
    expect(band![0]).toBeCloseTo(x + 0.25 * width, 6);
    expect(band![2]).toBeCloseTo(x + 0.75 * width, 6);
    expect(tick![0]).toBeCloseTo(x + 0.5 * width, 6);
  });
});

describe('labels on the drawing', () => {
  const request = fc.record({
    x: fc.double({ min: 0, max: 600, noNaN: true }),
    y: fc.double({ min: 0, max: 500, noNaN: true }),
    width: fc.constant(62),
    height: fc.constant(24),
  });

  it('stay where they are when nothing is in their way', () => {
    const requests = [0, 1, 2].map((index) => ({ x: 100 + index * 150, y: 100, width: 62, height: 24 }));
    expect(placeLabels(requests, { width: 600, height: 500 })).toEqual(requests.map(({ x, y }) => ({ x, y })));
  });

  it('never leave the sheet, and the same labels always get the same places', () => {
    fc.assert(
      fc.property(fc.array(request, { maxLength: 25 }), (requests) => {
        const area = { width: 600, height: 500 };
        const placed = placeLabels(requests, area);
        expect(placed).toEqual(placeLabels(requests, area));
        placed.forEach(({ x, y }) => {
          expect(x).toBeGreaterThanOrEqual(31);
          expect(x).toBeLessThanOrEqual(area.width - 31);
          expect(y).toBeGreaterThanOrEqual(12);
          expect(y).toBeLessThanOrEqual(area.height - 12);
        });
      }),
      { seed: 4711 },
    );
  });

  it('of the library’s freezer door do not cover each other on a desk or on a phone', () => {
    for (const available of [640, 330]) {
      const geometry = elevationGeometry(2400, 3000, available, 620);
      const requests = freezerPlaces.map(([x, y]) => ({
        x: geometry.sheet.x + x * geometry.sheet.width,
        y: geometry.sheet.y + y * geometry.sheet.height,
        width: 63,
        height: 24,
      }));
      const placed = placeLabels(requests, geometry);
      const covered = placed.flatMap((one, i) =>
        placed.slice(i + 1).filter((other) => Math.abs(one.x - other.x) < 62 && Math.abs(one.y - other.y) < 23),
      );
      expect(covered, `at ${available}`).toEqual([]);
    }
  });
});

/** Places of 21 positions, spread as on a freezer door. */
const freezerPlaces: readonly (readonly [number, number])[] = [
  [0.92, 0.05], [0.97, 0.27], [0.97, 0.38], [0.66, 0.06], [0.9, 0.17], [0.8, 0.06], [0.08, 0.06], [0.5, 0.46], [0.5, 0.94],
  [0.15, 0.94], [0.85, 0.94], [0.05, 0.84], [0.5, 0.06], [0.97, 0.6], [0.22, 0.06], [0.05, 0.6], [0.97, 0.76], [0.05, 0.19],
  [0.05, 0.3], [0.05, 0.42], [0.05, 0.72],
];

describe('marks', () => {
  const shapeOf = (markup: string) => /<svg[^>]*>(.*)<\/svg>/.exec(markup)?.[1] ?? '';

  it('differ in shape as well as in word', () => {
    const marks = [
      ...['sound', 'wearing', 'worn', 'unknown'].map((condition) => renderToStaticMarkup(<ConditionMark condition={condition} />)),
      ...['in-service', 'out-of-service', 'decommissioned'].map((state) => renderToStaticMarkup(<StateMark state={state} />)),
      ...['used', 'used-rollover', 'used-reset', 'mistyped', 'pending'].map((verdict) => renderToStaticMarkup(<VerdictMark verdict={verdict} />)),
    ];
    const withoutColour = marks.map((markup) => shapeOf(markup).replaceAll(/#[0-9a-f]{6}/g, ''));
    expect(new Set(withoutColour).size).toBe(marks.length);
    expect(new Set(marks.map((markup) => markup.replaceAll(/<svg.*<\/svg>/g, '').replaceAll(/<[^>]+>/g, ''))).size).toBe(marks.length);
  });
});
