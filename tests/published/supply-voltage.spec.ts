import { describe, expect, it } from 'vitest';
import { libraryDoorType as libraryDoorTypeSchema } from '@lintel/contract';
import { doorTypeLibrary, libraryDoorType } from '../../packages/store/src/fleet/library.js';

/**
 * Voltage limits at 60 Hz, ANSI C84.1, volts. From memory, not verified against a copy of the standard; the service range A
 * of 120 V (114–126, that is ± 5 %) is corroborated by a secondary page. `utilizationMin`: at the machine, not lighting.
 */
const ansiC84 = [
  { nominal: 120, serviceA: [114, 126], serviceB: [110, 127], utilizationMin: { a: 108, b: 104 } },
  { nominal: 240, serviceA: [228, 252], serviceB: [220, 254], utilizationMin: { a: 216, b: 208 } },
] as const;

function rowFor(volts: number) {
  return ansiC84.reduce((best, row) => (Math.abs(row.nominal - volts) < Math.abs(best.nominal - volts) ? row : best));
}

describe('supply voltage of the generic door types', () => {
  it('freezer doors are supplied at 240 V, cooler doors at 115 V (common practice, no source)', () => {
    expect(libraryDoorType('freezer').doorType.supplyVolts).toBe(240);
    expect(libraryDoorType('cooler').doorType.supplyVolts).toBe(115);
  });

  it.each(doorTypeLibrary.map((type) => [type.kind, type.doorType.supplyVolts] as const))(
    '%s: %d V is a voltage that a system of a standard nominal voltage keeps at the machine (ANSI C84.1, from memory)',
    (_kind, volts) => {
      const row = rowFor(volts);
      expect(volts).toBeGreaterThanOrEqual(row.utilizationMin.a);
      expect(volts).toBeLessThanOrEqual(row.serviceA[1]);
      expect(volts).toBeGreaterThanOrEqual(row.utilizationMin.b);
      expect(volts).toBeLessThanOrEqual(row.serviceB[1]);
    },
  );

  it('no kind could be swapped with the other: 115 V is no voltage of a 240 V system, nor 240 V of a 120 V one', () => {
    const [low, high] = ansiC84;
    expect(libraryDoorType('cooler').doorType.supplyVolts).toBeLessThan(high.utilizationMin.b);
    expect(libraryDoorType('freezer').doorType.supplyVolts).toBeGreaterThan(low.serviceB[1]);
  });

  it('range A of the service voltage is ± 5 % of the nominal (arithmetic on the rows)', () => {
    for (const row of ansiC84) {
      expect(row.serviceA[0] / row.nominal).toBeCloseTo(0.95, 10);
      expect(row.serviceA[1] / row.nominal).toBeCloseTo(1.05, 10);
    }
  });

  it('every type has exactly one supply isolator and says that only there an electrician brings in the supply', () => {
    for (const type of doorTypeLibrary) {
      expect(type.positions.filter((position) => position.kind === 'supply-isolator')).toHaveLength(1);
      expect(type.doorType.notes).toContain('only point where an electrician brings in the supply');
    }
  });
});

describe('the generic door types', () => {
  type LibraryType = (typeof doorTypeLibrary)[number];
  const tasksOf = (type: LibraryType) => type.plans.flatMap((plan) => plan.tasks);
  const checklistOf = (task: ReturnType<typeof tasksOf>[number]) => task.checklist ?? [];

  it.each(doorTypeLibrary.map((type) => [type.kind, type] as const))('%s: is what the contract calls a door type of the library', (_kind, type) => {
    expect(libraryDoorTypeSchema.parse(type)).toEqual(type);
  });

  const common = [
    'drive-motor', 'frequency-converter', 'control-board', 'position-encoder', 'home-switch', 'drive-chain',
    'roller-bearings', 'fabric-panel', 'bottom-edge', 'slack-switch-left', 'slack-switch-right', 'light-beam',
    'motion-sensor', 'push-buttons', 'sounder', 'side-guides', 'supply-isolator',
  ];
  const freezerOnly = ['frame-heating', 'frame-fans', 'supply-temperature-sensor', 'return-temperature-sensor'];

  it.each(doorTypeLibrary.map((type) => [type.kind, type] as const))('%s: its positions, each drawn at a spot of its own', (kind, type) => {
    const kinds = type.positions.map((position) => position.kind);
    expect([...kinds].sort()).toEqual([...common, ...(kind === 'freezer' ? freezerOnly : [])].sort());
    for (const [index, one] of type.positions.entries()) {
      expect(one.drawnX).toBeGreaterThan(0);
      expect(one.drawnX).toBeLessThan(1);
      expect(one.drawnY).toBeGreaterThan(0);
      expect(one.drawnY).toBeLessThan(1);
      for (const other of type.positions.slice(index + 1)) {
        expect(Math.hypot(one.drawnX - other.drawnX, one.drawnY - other.drawnY), `${one.kind}, ${other.kind}`).toBeGreaterThan(0.06);
      }
    }
  });

  it('each rating is in cycles or in months, not both, and says that it is to be replaced', () => {
    for (const rating of doorTypeLibrary.flatMap((type) => type.positions)) {
      expect([rating.b10Cycles, rating.b10Months].filter((value) => value !== null)).toHaveLength(1);
      expect(rating.lifeShape).toBeGreaterThan(0);
      expect(rating.ratingSource).toBe("default, replace with the maker's");
    }
  });

  it('safety inspections go by the calendar, without grace, name a source and defer to local rules', () => {
    for (const type of doorTypeLibrary) {
      const safety = tasksOf(type).filter((task) => task.safety);
      expect(safety.length).toBeGreaterThan(0);
      for (const task of safety) {
        expect(task.graceDays).toBe(0);
        expect(task.source).toMatch(/confirm against local rules$/);
        // Germany asks for a test at least once a year (ASR A1.7 section 10, read in pages quoting it).
        expect(task.intervalMonths).toBeLessThanOrEqual(12);
      }
      // France: at least every six months (decree of 21 December 1993; the number read in secondary pages).
      expect(Math.min(...safety.map((task) => task.intervalMonths!))).toBeLessThanOrEqual(6);
    }
  });

  it('a service that reaches into the door isolates and locks out before anything else (29 CFR 1910.147(d))', () => {
    for (const task of doorTypeLibrary.flatMap((type) => tasksOf(type))) {
      expect(checklistOf(task)[0]!.text).toMatch(/^Local codes/);
      const texts = checklistOf(task).map((step) => step.text).join('\n');
      const isolates = texts.search(/isolated at the supply isolator, locked and tagged/);
      const provesDead = texts.search(/Proved dead/);
      expect(isolates === -1 ? checklistOf(task).some((step) => ['test-device', 'measure'].includes(step.kind)) : provesDead > isolates).toBe(true);
    }
  });
});
