import * as contract from '@lintel/contract';
import { describe, expect, test } from 'vitest';
import type { z } from 'zod';

const id = '019ad0a0-0000-7000-8000-000000000000';
const fieldsOf = (schema: z.ZodType, given: unknown): string[] => {
  const parsed = schema.safeParse(given);
  return parsed.success ? [] : [...new Set(parsed.error.issues.map((issue) => issue.path.join('.')))];
};

describe('rules of several fields', () => {
  const task = { planId: id, name: 'Task', minutes: 10, source: 'common practice, no source' };
  test.each<[object, string[]]>([
    [{ intervalMonths: 12 }, []],
    [{ intervalCycles: 1000 }, []],
    [{}, ['intervalMonths']],
    [{ safety: true, intervalCycles: 1000 }, ['intervalMonths']],
    [{ safety: true, intervalCycles: 1000, intervalMonths: 6 }, []],
    [{ anchor: 'fixed', intervalMonths: 6 }, ['fixedFrom']],
    [{ anchor: 'fixed', intervalCycles: 6, fixedFrom: '2026-01-31' }, ['intervalMonths']],
    [{ intervalMonths: 0 }, ['intervalMonths']],
    [{ intervalMonths: 12, fixedFrom: '2026-02-30' }, ['fixedFrom']],
  ])('a task with %o is wrong in %o', (more, wrong) => {
    expect(fieldsOf(contract.taskCreate, { ...task, ...more })).toEqual(wrong);
  });

  const position = { doorTypeId: id, kind: 'drive-chain', name: 'Chain', drawnX: 0, drawnY: 1, ordinal: 1 };
  const spread = { lifeShape: 2, shapeSpread: 0.3, ratingSpread: 0.4 };
  test.each<[object, string[]]>([
    [{}, []],
    [{ b10Cycles: 1000, ...spread }, []],
    [{ b10Cycles: 1000 }, ['lifeShape', 'shapeSpread', 'ratingSpread']],
    [{ b10Cycles: 1000, b10Months: 12, ...spread }, ['b10Months']],
    [{ kind: 'wing' }, ['kind']],
    [{ bearingKind: 'ball', bearingRatingKn: 14 }, ['bearingLoadKn', 'turnsPerCycle']],
    [{ bearingKind: 'ball', bearingRatingKn: 14, bearingLoadKn: 0, turnsPerCycle: 3 }, ['bearingLoadKn']],
    [{ chainPitchMm: 12.7, sprocketTeeth: 4 }, ['sprocketTeeth']],
    [{ chainLimitPercent: 3.5 }, ['chainLimitPercent']],
  ])('a position with %o is wrong in %o', (more, wrong) => {
    expect(fieldsOf(contract.positionCreate, { ...position, ...more })).toEqual(wrong);
  });

  const measurement = { fittedPartId: id, measuredAt: '2026-01-01T00:00:00Z' };
  test.each<[object, string[]]>([
    [{ pitches: 20, lengthMm: 256, pitchMm: 12.7 }, []],
    [{ elongationPercent: 0.8 }, []],
    [{}, ['lengthMm']],
    [{ lengthMm: 256 }, ['pitches', 'pitchMm']],
    [{ pitches: 20, lengthMm: 256, pitchMm: 12.7, elongationPercent: 0.8 }, ['elongationPercent']],
    [{ elongationPercent: 40 }, ['elongationPercent']],
    [{ pitches: 0, lengthMm: 256, pitchMm: 12.7 }, ['pitches']],
  ])('a chain measurement with %o is wrong in %o', (more, wrong) => {
    expect(fieldsOf(contract.chainMeasurementCreate, { ...measurement, ...more })).toEqual(wrong);
  });

  const site = { ownerId: id, name: 'Site', countryCode: 'NO', timeZone: 'Europe/Oslo' };
  test.each<[object, string[]]>([
    [{}, []],
    [{ timeZone: '+01:00' }, ['timeZone']],
    [{ timeZone: 'Oslo' }, ['timeZone']],
    [{ regimeMonths: 6 }, ['regimeSource']],
    [{ latitude: 60 }, ['longitude']],
    [{ latitude: 91, longitude: 0 }, ['latitude']],
    [{ currency: 'kr' }, ['currency']],
  ])('a site with %o is wrong in %o', (more, wrong) => {
    expect(fieldsOf(contract.siteCreate, { ...site, ...more })).toEqual(wrong);
  });
});

describe('values', () => {
  test('instants need an offset, and cycles fit a JSON number exactly', () => {
    const reading = { doorId: id, at: '2026-01-01T00:00:00Z', value: Number.MAX_SAFE_INTEGER };
    expect(fieldsOf(contract.readingGiven, reading)).toEqual([]);
    expect(fieldsOf(contract.readingGiven, { ...reading, at: '2026-01-01T00:00:00+05:30' })).toEqual([]);
    expect(fieldsOf(contract.readingGiven, { ...reading, at: '2026-01-01T00:00:00' })).toEqual(['at']);
    expect(fieldsOf(contract.readingGiven, { ...reading, at: '2026-02-30T00:00:00Z' })).toEqual(['at']);
    for (const value of [-1, 1.5, 2 ** 53, '5', null]) expect(fieldsOf(contract.readingGiven, { ...reading, value })).toEqual(['value']);
  });

  test('a change sets nothing that it does not name', () => {
    for (const change of [contract.ownerChange, contract.siteChange, contract.doorChange, contract.taskChange, contract.positionChange, contract.accountChange, contract.doorTypeChange]) {
      expect(change.parse({})).toEqual({});
    }
  });
});

test('an owner reads and changes nothing, a technician administers nothing', () => {
  const resources = Object.keys(contract.access) as contract.Resource[];
  expect(resources.filter((what) => contract.may('owner', 'write', what))).toEqual([]);
  for (const what of ['accounts', 'people', 'jobs', 'projections', 'ledger', 'imports'] as const) expect(contract.may('owner', 'read', what)).toBe(false);
  expect(resources.filter((what) => contract.may('technician', 'write', what)).sort())
    .toEqual(['calendar-feeds', 'chain-measurements', 'completions', 'counters', 'door-state', 'faults', 'findings', 'fitted-parts', 'readings', 'work-commands', 'work-images']);
  expect(resources.filter((what) => !contract.may('administrator', 'read', what) || !contract.may('administrator', 'write', what))).toEqual([]);
  expect(resources.filter((what) => !contract.may('planner', 'write', what))).toEqual(['wear-models', 'force-limits', 'competences', 'certificates', 'certificate-keys', 'accounts', 'people', 'ledger']);
});
