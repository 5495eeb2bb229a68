import { createHash } from 'node:crypto';
import type { WearFit, WearPlot, WearPool } from '@lintel/contract';
import { choosePool, compareLaws, DAYS_PER_MONTH, fitAcceleratedLife, kaplanMeier, livesOf, plottingPositions, posteriorModel } from '@lintel/engine';
import type { AgeUnit, LifeRating, Lives, WearModel } from '@lintel/engine';
import { lifeBand } from './lifeBand.js';
import type { LifeBand } from './lifeBand.js';
import type { PartLife } from './poolLives.js';

/** What a model is of: the parts in one position of a door type, in one climate. */
export interface WearSubject {
  positionId: string;
  doorTypeId: string;
  climate: PartLife['climate'];
  rating: LifeRating;
}

/** The pool that a model learns from. */
export interface ChosenPool {
  pool: WearPool;
  unit: AgeUnit;
  lives: readonly PartLife[];
  failures: number;
  suspensions: number;
  /** Lives whose age in the unit is not known. */
  setAside: number;
}

export interface WearVersion {
  model: WearModel;
  b10: LifeBand;
  b50: LifeBand;
  fit: WearFit | null;
  noFit: string | null;
  plot: WearPlot;
}

/** Points of a chart; more than a screen tells apart is of no use. */
const MOST_POINTS = 300;
const MOST_SUSPENSIONS = 120;
/** Shares at which the lines of the probability plot are drawn. */
const SHARES = [0.001, 0.002, 0.005, 0.01, 0.02, 0.03, 0.05, 0.07, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 0.999];
/** Standard errors on either side: 95 % of a normal law. */
const DEVIATE = 1.96;
const HAZARD_B10 = -Math.log(0.9);

/** The narrowest pool that carries, of: the door type in the climate, the door type, the kind of part anywhere. */
export function poolOf(subject: WearSubject, lives: readonly PartLife[]): ChosenPool {
  const unit: AgeUnit = subject.rating.b10Cycles === null ? 'days' : 'cycles';
  const ofType = lives.filter((life) => life.doorTypeId === subject.doorTypeId);
  const inClimate = ofType.filter((life) => life.climate === subject.climate);
  return choosePool([counted('type-in-climate', unit, inClimate), counted('type', unit, ofType), counted('kind', unit, lives)]);
}

function counted(pool: WearPool, unit: AgeUnit, lives: readonly PartLife[]): ChosenPool {
  const known = lives.filter((life) => life[unit] !== null);
  const failures = known.filter((life) => life.failed).length;
  return { pool, unit, lives: known, failures, suspensions: known.length - failures, setAside: lives.length - known.length };
}

/**
 * Equal for the same rating and the same facts. The ages of running parts are left out: they grow by themselves. Ages of ended ones
 * count to three digits, for an interpolated count moves a little with every reading.
 */
export function fingerprintOf({ rating }: WearSubject, { pool, unit, lives }: ChosenPool): string {
  const facts = lives.map((life) => [
    life.partId,
    life.failed,
    life.running ? null : Number(life[unit]!.age.toPrecision(3)),
    life[unit]!.entry,
  ]);
  return createHash('sha256').update(JSON.stringify([rating, pool, unit, facts])).digest('base64url');
}

/** What the rating and the pool's lives say together, and what the charts are drawn from; `all` lives of the kind of part. */
export function wearVersion(rating: LifeRating, chosen: ChosenPool, all: readonly PartLife[]): WearVersion {
  const lives = columnsOf(chosen.lives, chosen.unit);
  const model = posteriorModel(rating, lives);
  const compared = compareLaws(lives);
  return {
    model,
    b10: lifeBand(model, 0.1),
    b50: lifeBand(model, 0.5),
    fit: 'none' in compared ? null : fitOf(compared),
    noFit: 'none' in compared ? compared.none : null,
    plot: { ...plotOf(rating, model, lives), freezer: freezerFactor(all, chosen.unit) },
  };
}

/** Lives whose age is known, as the engine takes them. */
function columnsOf(lives: readonly PartLife[], unit: AgeUnit): Lives {
  return livesOf(lives.map((life) => ({ age: life[unit]!.age, entry: life[unit]!.entry, event: life.failed ? 1 : 0 })));
}

/** Failures on either side, below which nothing is said of the difference (common practice, no source). */
const LEAST_FAILURES_A_SIDE = 3;

/** Life in freezers over life elsewhere: accelerated life on two levels. */
function freezerFactor(all: readonly PartLife[], unit: AgeUnit): WearPlot['freezer'] {
  const lives = all.filter((life) => (life[unit]?.age ?? 0) > 0 && life.climate !== 'unknown');
  const failures = (freezer: boolean) => lives.filter((life) => life.failed && (life.climate === 'freezer') === freezer).length;
  if (Math.min(failures(true), failures(false)) < LEAST_FAILURES_A_SIDE) return null;
  const inFreezer = Float64Array.from(lives, (life) => (life.climate === 'freezer' ? 1 : 0));
  const fit = fitAcceleratedLife(columnsOf(lives, unit), inFreezer, 'weibull');
  if ('none' in fit) return null;
  const reach = Math.exp(DEVIATE * fit.slopeError);
  return { factor: fit.lifeFactor, low: fit.lifeFactor / reach, high: fit.lifeFactor * reach };
}

function fitOf(compared: Exclude<ReturnType<typeof compareLaws>, { none: string }>): WearFit {
  const { fit, akaike } = compared.weibull;
  const { shape, scale, shapeInterval, scaleInterval, b10, b10Interval } = fit;
  const bounded = ([low, high]: readonly [number, number]): [number, number] => [low, Math.min(high, Number.MAX_VALUE)];
  return {
    shape,
    scale,
    shapeInterval: bounded(shapeInterval),
    scaleInterval: bounded(scaleInterval),
    b10,
    b10Interval: bounded(b10Interval),
    akaike,
    exponential: compared.exponential,
    lognormal: compared.lognormal,
    wearOutPValue: compared.wearOut.pValue,
    better: compared.better,
  };
}

function plotOf(rating: LifeRating, model: WearModel, lives: Lives): Omit<WearPlot, 'freezer'> {
  const steps = kaplanMeier(lives);
  const survival = [...steps.age.keys()].map((index) => {
    const share = steps.survival[index]!;
    const reach = DEVIATE * steps.error[index]!;
    return { age: steps.age[index]!, share, low: Math.max(0, share - reach), high: Math.min(1, share + reach) };
  });
  const suspensions = [...lives.age.keys()].filter((index) => lives.event[index] === 0).map((index) => lives.age[index]!);
  const b10 = rating.b10Cycles ?? rating.b10Months! * DAYS_PER_MONTH;
  return {
    failures: plottingPositions(lives, MOST_POINTS),
    suspensions: picked(suspensions.sort((a, b) => a - b), MOST_SUSPENSIONS),
    survival: picked(survival, MOST_POINTS),
    learned: SHARES.map((share) => ({ share, ...lifeBand(model, share) })),
    rated: SHARES.map((share) => ({ share, age: b10 * (-Math.log1p(-share) / HAZARD_B10) ** (1 / rating.shape) })),
  };
}

/** Evenly picked, first and last among them. */
function picked<T>(points: readonly T[], most: number): T[] {
  if (points.length <= most) return [...points];
  return Array.from({ length: most }, (_, index) => points[Math.round((index * (points.length - 1)) / (most - 1))]!);
}
