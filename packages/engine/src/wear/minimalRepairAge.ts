/**
 * Replacement interval of least cost for something that is only mended when it fails, without becoming younger
 * (Barlow & Hunter 1960): T = η [c_p / (c_m (β − 1))]^(1/β), in the unit of `scale`. No such interval without
 * wear-out (shape ≤ 1).
 * @throws RangeError naming the field that is not above 0.
 */
export function minimalRepairAge(costs: {
  shape: number;
  scale: number;
  replacementCost: number;
  repairCost: number;
}): { age: number } | { none: 'no-wear-out' } {
  for (const field of ['shape', 'scale', 'replacementCost', 'repairCost'] as const) {
    if (!(costs[field] > 0 && costs[field] < Infinity))
      throw new RangeError(`${field} must be above 0, not ${costs[field]}`);
  }
  const { shape, scale, replacementCost, repairCost } = costs;
  if (shape <= 1) return { none: 'no-wear-out' };
  return { age: scale * (replacementCost / (repairCost * (shape - 1))) ** (1 / shape) };
}
