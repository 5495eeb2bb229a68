import { describe, expect, it } from 'vitest';
import { measureUnit, onScale } from '@lintel/ui';

/** Conversions as printed in NIST SP 811 (2008), appendix B, to its seven digits; from memory. */
describe('units as the reader has them', () => {
  it.each([
    ['mm', 'in', 25.4, 1],
    ['m', 'ft', 0.3048, 1],
    ['N', 'lbf', 4.448222, 1],
    ['kg', 'lb', 0.4535924, 1],
    ['Nm', 'lbf·ft', 1.355818, 1],
    ['bar', 'psi', 0.06894757, 1],
    ['°C', '°F', -40, -40],
    ['°C', '°F', 100, 212],
  ])('%s and %s', (metric, us, inMetric, inUs) => {
    const there = measureUnit(metric, 'us');
    expect(there).toMatchObject({ unit: us, converted: true });
    expect(there.shown(inMetric)).toBeCloseTo(inUs, 5);
    expect(there.stored(inUs)).toBeCloseTo(inMetric, 5);
    const back = measureUnit(us, 'metric');
    expect(back.unit).toBe(metric);
    expect(back.stored(inMetric)).toBeCloseTo(inUs, 5);
  });

  it('leaves what both share, and what is the reader’s already', () => {
    for (const [unit, units] of [['V', 'us'], ['kΩ', 'us'], ['mm', 'metric'], ['in', 'us']] as const) {
      expect(measureUnit(unit, units)).toMatchObject({ unit, converted: false });
    }
  });

  it('puts a converted value on the scale of the instrument', () => {
    expect(onScale(measureUnit('mm', 'us').stored(0.157), 0.1)).toBe(4);
    expect(onScale(0.1 + 0.2)).toBe(0.3);
    expect(onScale(7.384, 0.05)).toBe(7.4);
  });
});
