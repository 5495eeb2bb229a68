import type { AgeUnit, DoorClimate, PartRenewal, RenewalPlanView, WearModel, WearPool } from '@lintel/contract';
import { count, formatChance, formatDate, formatMoney } from '@lintel/ui';
import { partKindWords } from '../common/words.js';
import { lifeAmount } from '../fleet/doors/life.js';

export const climateWords: Record<DoorClimate, string> = {
  freezer: 'Freezer',
  cooler: 'Cooler',
  ambient: 'Ambient',
  outdoor: 'Outdoor',
  unknown: 'Climate not known',
};

export const poolWords: Record<WearPool, string> = {
  'type-in-climate': 'this door type in this climate',
  type: 'this door type in any climate',
  kind: 'every door type',
};

/** Whose lives stand behind a model: `12 failures, 40 suspensions: drive chain, every door type`. */
export function evidenceWords({ failures, suspensions, kind, pool }: WearModel): string {
  return `${count(failures, 'failure')}, ${count(suspensions, 'suspension')}: ${partKindWords[kind].toLowerCase()}, ${poolWords[pool]}`;
}

export function modelTitle({ positionName, doorTypeName, climate }: WearModel): string {
  return `${positionName}, ${doorTypeName}, ${climateWords[climate].toLowerCase()}`;
}

/** What the rating of the version was. */
export function ratedWords({ rating }: WearModel): string {
  const { b10Cycles, b10Months, shape } = rating;
  const age = b10Cycles === null ? count(b10Months ?? 0, 'month') : lifeAmount(b10Cycles, 'cycles');
  return `one in ten fails by ${age}, shape ${shape}`;
}

export const noFitWords: Record<NonNullable<WearModel['noFit']>, string> = {
  'too-few-failures': 'Fewer than two failures: the lives alone say nothing of the shape, so the rating stands behind most of it.',
  'failures-at-one-age': 'All failures came at one age: no law of its own can be fitted to the lives.',
  'shape-not-bounded': 'The parts were all first seen so late that no law of their own fits best.',
};

/** A cost rate is told by the thousand cycles or by the year. */
export const rateUnit = (unit: AgeUnit): { per: number; word: string } =>
  unit === 'cycles' ? { per: 1000, word: '1,000 cycles' } : { per: 365.25, word: 'a year' };

/** When replacing costs least, or why there is no such age. */
export function planWords(plan: RenewalPlanView, unit: AgeUnit, currency: string): string {
  const { per, word } = rateUnit(unit);
  const rate = (value: number) => `${formatMoney(value * per, currency)} ${unit === 'cycles' ? `per ${word}` : word}`;
  if (plan.none === 'failure-no-dearer') return 'Run it to failure: a failure costs no more than a planned replacement.';
  if (plan.age === null || plan.costRate === null) return `Run it to failure, at ${rate(plan.toFailure)}: replacing sooner saves next to nothing.`;
  return `Costs least replaced at ${lifeAmount(plan.age, unit)}: ${rate(plan.costRate)}, against ${rate(plan.toFailure)} run to failure.`;
}

/** Replace now or leave it, in money, and why. */
export function visitWords({ visit, costs, plan }: PartRenewal, nextVisitOn: string | null, safetyDevice: boolean): string {
  const until = nextVisitOn === null ? `in the next ${Math.round(visit.daysToNext)} days` : `before the next visit on ${formatDate(nextVisitOn)}`;
  const money = (value: number) => formatMoney(value, costs.currency);
  const risk = `of failing ${until} ${formatChance(visit.chance)}, ${money(visit.riskCost)} of risk`;
  const stays = safetyDevice ? ' Its safety inspections stay due as they are.' : '';
  if (plan.none !== null) return `Replacing it before it fails does not pay; chance ${risk}.${stays}`;
  const against = visit.decision === 'replace' ? 'more' : 'less';
  return `Chance ${risk}: ${against} than the ${money(visit.lifeCost)} of life thrown away by replacing it now.${stays}`;
}
