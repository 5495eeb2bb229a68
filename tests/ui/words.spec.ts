import { describe, expect, it } from 'vitest';
import { formatAbout, formatChance, formatDateRange, formatDistance, formatLength, formatTemperature, lengthIn, lengthToMm } from '@lintel/ui';
import { changedFields, givenFields } from '../../apps/admin/src/access/dataProvider.js';
import { query } from '../../apps/admin/src/access/http.js';
import { conflictFields } from '../../apps/admin/src/common/StaleComparison.js';
import { instantFromWall, wallFromInstant } from '../../apps/admin/src/common/inputs.js';
import { chartMarks, chartPoints, monthTicks } from '../../apps/admin/src/duty/chartData.js';
import { withColumn } from '../../apps/admin/src/duty/ImportMappingForm.js';
import { dueSentence } from '../../apps/admin/src/upkeep/dueSentence.js';
import { tidyTask } from '../../apps/admin/src/upkeep/TaskForms.js';

describe('units', () => {
  it('convert by the exact inch of 25.4 mm and back to the millimetre', () => {
    expect(lengthIn('us', 254)).toBe(10);
    expect(formatLength('us', 3048)).toBe('120 in');
    expect(formatLength('metric', 3000)).toBe('3,000 mm');
    expect(lengthToMm('us', 120)).toBe(3048);
    expect(lengthToMm('metric', 3000)).toBe(3000);
  });

  it('convert temperatures by their fixed points: water freezes at 32 °F, and −40 is the same in both', () => {
    expect(formatTemperature('us', 0)).toBe('32 °F');
    expect(formatTemperature('us', -40)).toBe('-40 °F');
    expect(formatTemperature('metric', -24)).toBe('-24 °C');
  });
});

describe('figures', () => {
  it('are no more exact than they deserve', () => {
    expect(formatAbout(127_468)).toBe('127,000');
    expect(formatAbout(412.4)).toBe('412');
    expect(formatChance(0.0001)).toBe('under 1 %');
    expect(formatChance(0.9999)).toBe('over 99 %');
    expect(formatChance(0)).toBe('0 %');
    expect(formatDateRange('2027-02-14', '2027-06-02')).toBe('14 Feb – 2 Jun 2027');
    expect(formatDistance(-3)).toBe('3 days ago');
    expect(formatDistance(21)).toBe('in 3 weeks');
  });
});

describe('the clock at the site', () => {
  // America/New_York, 1997: UTC−5 until 2 April, 6 April 02:00 local to UTC−4 (the rule in RFC 5545, section 3.6.5).
  it('is turned into UTC on both sides of a change to summer time', () => {
    expect(instantFromWall('1997-04-05T12:00', 'America/New_York')).toBe('1997-04-05T17:00:00.000Z');
    expect(instantFromWall('1997-04-06T12:00', 'America/New_York')).toBe('1997-04-06T16:00:00.000Z');
  });

  it('comes back as it was typed', () => {
    for (const zone of ['America/New_York', 'Europe/Oslo', 'Asia/Kolkata', 'Australia/Lord_Howe']) {
      expect(wallFromInstant(instantFromWall('2026-07-01T09:30', zone), zone)).toBe('2026-07-01T09:30');
    }
  });
});

describe('what is sent', () => {
  it('is only what differs; an emptied field is null', () => {
    const before = { name: 'a', phone: '1', tags: ['x'], version: 3 };
    expect(changedFields({ name: 'a', phone: '', tags: ['x'] }, before)).toEqual({ phone: null });
    expect(changedFields({ name: 'b', tags: ['x', 'y'] }, before)).toEqual({ name: 'b', tags: ['x', 'y'] });
    expect(givenFields({ name: 'a', phone: '', at: null, flag: false, count: 0 })).toEqual({ name: 'a', flag: false, count: 0 });
  });

  it('in a query leaves out what is empty and escapes the rest', () => {
    expect(query({ q: 'a&b', limit: 50, none: '', ids: ['1', '2'], no: undefined })).toBe('?q=a%26b&limit=50&ids=1%2C2');
    expect(query({})).toBe('');
  });

  it('of a checklist holds no empty limits', () => {
    const step = { kind: 'measure', text: 'Force', unit: 'N', lower: null, upper: 400 };
    expect(tidyTask({ name: 't', checklist: [step] })).toEqual({ name: 't', checklist: [{ kind: 'measure', text: 'Force', unit: 'N', upper: 400 }] });
  });

  it('of a mapping gives a column to one field alone', () => {
    expect(withColumn({ serial: 'Tor', at: 'When' }, 'door', 'Tor')).toEqual({ door: 'Tor', at: 'When' });
    expect(withColumn({ serial: 'Tor', at: 'When' }, 'at', '')).toEqual({ serial: 'Tor' });
  });
});

describe('a stale change', () => {
  it('names the fields that either side touched, and whose they are', () => {
    const base = { id: '1', name: 'a', phone: '1', email: null, version: 1 };
    const current = { ...base, name: 'theirs', phone: '2', version: 2 };
    const mine = { name: 'mine', phone: '1', email: null };
    expect(conflictFields({ base, current, mine })).toEqual([
      { field: 'name', mine: true },
      { field: 'phone', mine: false },
    ]);
  });
});

describe('why a task is due', () => {
  const calendar = {
    rule: 'calendar' as const,
    basis: { kind: 'completion' as const, on: '2026-02-25', lifetimeCycles: 1000 },
    interval: 6,
    tightenedByRegime: true,
    cyclesToGo: null,
    quantile: null,
    lastReadingAt: null,
    otherRuleDue: '2027-01-05',
  };

  it('says the rule, where it counts from, the site’s rules and the other date', () => {
    expect(dueSentence(calendar, true)).toBe(
      'Every 6 months; last done on 25 Feb 2026. The site’s own rules ask for this shorter interval. By cycles alone it would fall on 5 Jan 2027; the earlier date counts.',
    );
  });

  it('says the cycles to go, from which reading, and that safety takes the early end', () => {
    const cycles = {
      ...calendar,
      rule: 'cycles' as const,
      basis: { kind: 'in-service' as const, on: '2025-01-10', lifetimeCycles: 0 },
      interval: 200_000,
      tightenedByRegime: false,
      cyclesToGo: 12_340,
      quantile: 0.1,
      lastReadingAt: Date.UTC(2026, 10, 20),
      otherRuleDue: null,
    };
    expect(dueSentence(cycles, true)).toBe(
      'Every 200,000 cycles; never done since the door came into service on 10 Jan 2025. About 12,300 cycles to go by the reading of 20 Nov 2026. The early end of the forecast is taken, because it is a safety matter.',
    );
    expect(dueSentence({ ...cycles, cyclesToGo: 0 }, false)).toContain('The 200,000 cycles are used up.');
  });
});

describe('the counter chart', () => {
  const day = 86_400_000;
  const duty = {
    model: null,
    history: [
      { at: '2026-01-01T00:00:00Z', cycles: 100, estimated: false },
      { at: '2026-01-11T00:00:00Z', cycles: 200, estimated: false },
    ],
    forecast: [],
    setAside: [{ at: '2026-01-06T00:00:00Z', value: 9_999, verdict: 'mistyped' as const }],
  };

  it('puts a reading that was set aside on the line at its own time', () => {
    expect(chartMarks(duty, [])).toEqual([{ at: Date.parse('2026-01-06T00:00:00Z'), value: 9_999, verdict: 'mistyped', cycles: 150 }]);
  });

  it('keeps the first and last of many readings', () => {
    const history = Array.from({ length: 5000 }, (_, index) => ({ at: new Date(index * day).toISOString(), cycles: index, estimated: false }));
    const points = chartPoints({ ...duty, history });
    expect(points.length).toBeLessThanOrEqual(702);
    expect(points[0]?.cycles).toBe(0);
    expect(points.at(-1)?.cycles).toBe(4999);
  });

  it('labels first days of months, no more than asked for', () => {
    const ticks = monthTicks(Date.UTC(2025, 4, 20), Date.UTC(2027, 10, 25), 10);
    expect(ticks.length).toBeLessThanOrEqual(10);
    expect(ticks.every((tick) => new Date(tick).getUTCDate() === 1)).toBe(true);
    expect(ticks[0]).toBe(Date.UTC(2025, 5, 1));
  });
});
