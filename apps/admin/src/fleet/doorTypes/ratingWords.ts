import type { Position } from '@lintel/contract';
import { count, formatMoney, formatWhole } from '@lintel/ui';

/** A life rating in words: the age by which one part in ten has failed. */
export function ratingWords({ b10Cycles, b10Months }: Pick<Position, 'b10Cycles' | 'b10Months'>): string {
  if (b10Cycles !== null) return `one in ten fails by ${formatWhole(b10Cycles)} cycles`;
  if (b10Months !== null) return `one in ten fails by ${count(b10Months, 'month')}`;
  return 'none';
}

/** What replacing the part costs, planned and after a failure. */
export function costWords({ plannedCost, failureCost, costCurrency }: Pick<Position, 'plannedCost' | 'failureCost' | 'costCurrency'>): string {
  if (plannedCost === null || failureCost === null || costCurrency === null) return '–';
  return `${formatMoney(plannedCost, costCurrency)}, ${formatMoney(failureCost, costCurrency)}`;
}
