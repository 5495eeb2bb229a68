import { doorList, listQuery, pageLimit } from '@lintel/contract';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';

const query = listQuery(doorList);
const siteId = '019ad0a0-0000-7000-8000-000000000000';

/** The fields that are named as wrong. */
function wrong(given: Record<string, string>): string[] {
  const parsed = query.safeParse(given);
  if (parsed.success) return [];
  return parsed.error.issues.flatMap((issue) => (issue.code === 'unrecognized_keys' ? issue.keys : [issue.path.join('.')]));
}

describe('a list query', () => {
  test('is bounded and sorted without being asked', () => {
    expect(query.parse({})).toEqual({
      limit: 25, offset: 0, count: false, sort: [{ field: 'name', descending: false }], search: null, filters: {}, ranges: [],
    });
  });

  test('is understood as a whole', () => {
    const given = {
      limit: '50', offset: '100', count: 'true', sort: '-nextDueOn,name', q: ' F-1 ', siteId, state: 'in-service,out-of-service',
      overdueSafety: 'false', nextDueOnFrom: '2026-01-01',
    };
    expect(query.parse(given)).toEqual({
      limit: 50, offset: 100, count: true,
      sort: [{ field: 'nextDueOn', descending: true }, { field: 'name', descending: false }],
      search: 'F-1', filters: { siteId: [siteId], state: ['in-service', 'out-of-service'], overdueSafety: [false] },
      ranges: [{ field: 'nextDueOn', from: '2026-01-01', to: null }],
    });
  });

  test.each([
    [{ limit: String(pageLimit + 1) }, ['limit']],
    [{ limit: '0' }, ['limit']],
    [{ limit: '2.5' }, ['limit']],
    [{ offset: '-1' }, ['offset']],
    [{ count: 'yes' }, ['count']],
    [{ sort: 'name,secret' }, ['sort']],
    [{ sort: '' }, ['sort']],
    [{ siteId: `${siteId},1` }, ['siteId']],
    [{ state: '' }, ['state']],
    [{ nextDueOnFrom: '2026-02-30' }, ['nextDueOnFrom']],
    [{ dueOnFrom: '2026-02-03', colour: 'red' }, ['dueOnFrom', 'colour']],
    [{ state: Array(101).fill('in-service').join() }, ['state']],
  ])('%o is wrong in %o', (given, expected) => {
    expect(wrong(given as Record<string, string>)).toEqual(expected);
  });

  test('can only name fields that it knows, whatever is asked', () => {
    const known = new Set<string>(doorList.sorts);
    const words = fc.oneof(fc.string(), fc.constantFrom('name', '-chance90', 'name,-name', '__proto__', 'constructor'));
    fc.assert(fc.property(fc.dictionary(fc.string(), fc.string()), words, (more, sort) => {
      const parsed = query.safeParse({ ...more, sort });
      const named = parsed.success ? [...parsed.data.sort.map(({ field }) => field), ...Object.keys(parsed.data.filters)] : [];
      expect(named.filter((field) => !known.has(field) && !Object.hasOwn(doorList.filters, field))).toEqual([]);
    }), { numRuns: 2000 });
    expect(query.safeParse({ sort: '__proto__' }).success).toBe(false);
  });
});
