import type { ForceLimitChange, ForceLimitId, ForceLimitRow, ForceLimitTable, Refusal } from './types.js';

/**
 * A new version of the limits with one value changed. Tighter needs no reason; looser than the present value does, and the
 * reason stays in the table.
 * @returns the new table, or `no-such-row`, `not-a-value` (above 0, readings whole), `unchanged`, `looser-without-reason`.
 */
export function changeForceLimit(
  table: ForceLimitTable,
  change: { row: ForceLimitId; value: number; by: string; on: string; reason?: string },
): ForceLimitTable | Refusal<'no-such-row' | 'not-a-value' | 'unchanged' | 'looser-without-reason'> {
  const { row: id, value, by, on } = change;
  if (!Object.hasOwn(table.rows, id)) return { refused: 'no-such-row', facts: { row: id } };
  const row = table.rows[id];
  const whole = row.unit === 'readings' || row.unit === 'months';
  if (!(Number.isFinite(value) && value > 0 && (!whole || Number.isInteger(value)))) {
    return { refused: 'not-a-value', facts: { row: id, value } };
  }
  if (value === row.value) return { refused: 'unchanged', facts: { row: id, value } };
  const loosened = isLooser(row, value);
  const reason = change.reason?.trim() ?? '';
  if (loosened && reason === '') {
    return { refused: 'looser-without-reason', facts: { row: id, from: row.value, to: value } };
  }
  return {
    ...table,
    version: table.version + 1,
    rows: { ...table.rows, [id]: { ...row, value } },
    changes: [...table.changes, { row: id, from: row.value, to: value, loosened, reason, by, on }],
  };
}

function isLooser({ bound, value: present }: ForceLimitRow, value: number): boolean {
  if (bound === 'most') return value > present;
  return bound === 'least' ? value < present : true;
}

/**
 * Whether a row is looser now than it first was, whatever was changed in between, and the last change that loosened it: a
 * loosening must stay in sight, also after a later change took a part of it back.
 * @returns the first value and that change, or undefined for a row that is as it was or tighter.
 */
export function loosenedLimit(table: ForceLimitTable, id: ForceLimitId): { first: number; last: ForceLimitChange } | undefined {
  const changes = table.changes.filter(({ row }) => row === id);
  const first = changes[0]?.from;
  const last = changes.findLast(({ loosened }) => loosened);
  const row = table.rows[id];
  // An exact row that is back at its first value is as it was.
  if (first === undefined || last === undefined || row.value === first) return undefined;
  return isLooser({ ...row, value: first }, row.value) ? { first, last } : undefined;
}
