import type pg from 'pg';

const OIDS = { int8: 20, date: 1082, timestamptz: 1184, numeric: 1700 } as const;

/** PostgreSQL writes `2026-03-01 05:06:07.89+00` in a session in UTC; anything else goes the long way. */
function isoInstant(text: string): string {
  if (text.endsWith('+00')) return `${text.slice(0, 10)}T${text.slice(11, -3)}Z`;
  return new Date(text.replace(' ', 'T').replace(/([+-]\d\d)$/, '$1:00')).toISOString();
}

type Parser = (text: string) => unknown;
type Oid = Parameters<typeof pg.types.getTypeParser>[0];

const parsers = new Map<number, Parser>([
  [OIDS.int8, Number],
  [OIDS.numeric, Number],
  [OIDS.date, (text) => text],
  [OIDS.timestamptz, isoInstant],
]);

/**
 * Values as they go on the wire, without a detour through Date and BigInt. Cycles and sizes are checked on their way in to
 * fit a JSON number exactly.
 */
export function wireTypes(pgTypes: typeof pg.types): pg.CustomTypesConfig {
  return {
    getTypeParser: (oid: Oid, format?: 'text' | 'binary'): Parser => parsers.get(oid) ?? pgTypes.getTypeParser(oid, format),
  };
}
