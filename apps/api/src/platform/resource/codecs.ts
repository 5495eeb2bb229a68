import type { Row } from './definition.js';

/** From a field's form on the wire to Prisma's. */
export type Codec = (value: unknown) => unknown;

/** Cycles are 64-bit in the database. */
export const whole: Codec = (value) => BigInt(value as number);
export const date: Codec = (value) => new Date(`${value as string}T00:00:00Z`);
export const instant: Codec = (value) => new Date(value as string);
/** `out-of-service` on the wire is `out_of_service` in the database. */
export const word: Codec = (value) => (value as string).replaceAll('-', '_');

/** What Prisma is given; fields left out stay out, null stays null. */
export function toPrisma(given: Row, codecs: Record<string, Codec> = {}): Row {
  const data: Row = {};
  for (const [field, value] of Object.entries(given)) {
    if (value === undefined) continue;
    const codec = codecs[field];
    data[field] = codec === undefined || value === null ? value : codec(value);
  }
  return data;
}
