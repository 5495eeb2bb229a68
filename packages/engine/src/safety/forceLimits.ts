import type { ForceLimitId, ForceLimitRow, ForceLimits, ForceLimitTable, ForcePlace, Refusal } from './types.js';

/** Classes of the gap in EN 12453 annex A: from 50 to 500 mm, and above. Below 50 mm the standard asks for no measurement. */
export const LEAST_GAP_MM = 50;
export const NEAR_GAP_MM = 500;

/** The force that ends the dynamic period, and the one that ends the contact (EN 12453:2022 annex C, T_d and T_t; second hand). */
export const DYNAMIC_THRESHOLD_NEWTON = 150;
export const CONTACT_THRESHOLD_NEWTON = 25;

const ANNEX_A = 'EN 12453 annex A, read on installer pages based on the draft of 2000';
const TABLE_A1 = 'EN 12453:2000 table A.1, as reproduced on a page about force gauges that names a trade committee';
const POINTS = "EN 12445:2000 section 5 / EN 12453:2017 annex C, read in a gauge manual and on an installer's page";
const GAUGE = 'EN 12445:2000 section 5.1 (EN 12453:2017 annex C), read on a page about force gauges';

function most(value: number, unit: ForceLimitRow['unit'], source: string): ForceLimitRow {
  return { value, unit, bound: 'most', source, status: 'second-hand' };
}
function least(value: number, unit: ForceLimitRow['unit'], source: string): ForceLimitRow {
  return { value, unit, bound: 'least', source, status: 'second-hand' };
}
function exact(value: number, unit: ForceLimitRow['unit'], source: string): ForceLimitRow {
  return { value, unit, bound: 'exact', source, status: 'second-hand' };
}

/**
 * The limits as this program comes with them. None was read in the standard itself: each says where it was read, and has to
 * be confirmed against the standard. Change them by `changeForceLimit` only.
 */
export const defaultForceLimits: ForceLimitTable = {
  name: 'EN 12453',
  version: 1,
  rows: {
    'peak-vertical-near': most(400, 'N', ANNEX_A),
    'peak-vertical-far': most(400, 'N', TABLE_A1),
    'peak-horizontal-near': most(400, 'N', ANNEX_A),
    'peak-horizontal-far': most(1400, 'N', TABLE_A1),
    'peak-flat-areas': most(1400, 'N', TABLE_A1),
    dynamic: most(750, 'ms', ANNEX_A),
    static: most(150, 'N', ANNEX_A),
    residual: most(25, 'N', ANNEX_A),
    'residual-after': most(5000, 'ms', ANNEX_A),
    readings: least(3, 'readings', 'EN 12445:2000 section 5 / EN 12453:2017 annex C, read on two pages'),
    'point-height-low': exact(50, 'mm', POINTS),
    'point-height-middle': exact(300, 'mm', POINTS),
    'point-height-high': exact(2500, 'mm', POINTS),
    'point-low-opening': exact(2800, 'mm', POINTS),
    'point-below-open': exact(300, 'mm', POINTS),
    'point-from-side': exact(200, 'mm', POINTS),
    'gauge-disc': exact(80, 'mm', GAUGE),
    'gauge-spring': exact(500, 'N/mm', GAUGE),
    'gauge-spring-tolerance': most(50, 'N/mm', GAUGE),
    'gauge-range-from': most(25, 'N', GAUGE),
    'gauge-range-to': least(2000, 'N', GAUGE),
    'gauge-sampling': least(200, 'Hz', GAUGE),
    'gauge-accuracy': most(5, '%', GAUGE),
    'gauge-calibration': most(12, 'months', GAUGE),
  },
  changes: [],
};

/**
 * The limits at a place: the peak by movement, gap and position, the others everywhere alike. O(1).
 * @returns `gap-below-range` below 50 mm between edges, `not-a-gap` for what is no distance.
 */
export function forceLimitsAt(
  place: ForcePlace,
  table: ForceLimitTable,
): ForceLimits | Refusal<'not-a-gap' | 'gap-below-range'> {
  const { gapMm } = place;
  if (!(Number.isFinite(gapMm) && gapMm >= 0)) return { refused: 'not-a-gap', facts: { gapMm } };
  if (place.position === 'closing-edge' && gapMm < LEAST_GAP_MM) {
    return { refused: 'gap-below-range', facts: { gapMm, leastMm: LEAST_GAP_MM } };
  }
  const ids: ForceLimitId[] = [peakRow(place), 'dynamic', 'static', 'residual', 'residual-after'];
  const { rows } = table;
  return {
    peakNewton: rows[ids[0]!].value,
    dynamicMs: rows.dynamic.value,
    staticNewton: rows.static.value,
    residualNewton: rows.residual.value,
    table: table.name,
    version: table.version,
    rows: ids.map((id) => ({ id, ...rows[id] })),
  };
}

function peakRow({ gapMm, movement, position }: ForcePlace): ForceLimitId {
  if (position === 'flat-areas') return 'peak-flat-areas';
  return `peak-${movement}-${gapMm <= NEAR_GAP_MM ? 'near' : 'far'}`;
}
