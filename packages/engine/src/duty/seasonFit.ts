import type { Blocks } from './blocks.js';
import { DAY_MS } from './days.js';
import { seasonalDays, YEAR_RADIANS_PER_DAY, yearAngle } from './season.js';

/** A season is looked for from two years of data on, and in the last six at most. */
const MIN_DAYS = 730;
const MAX_DAYS = 2200;
const MIN_BLOCKS_PER_YEAR = 4;
const MAX_HARMONICS = 4;
const KNOT_DAYS = 365.2425;

/** A harmonic of less than this part of the level is none. */
const LEAST_AMPLITUDE = 1e-3;

/** The factor never falls below this, whatever the fit says. */
const LOWEST_FACTOR = 0.2;

/**
 * The season of the year in blocks that span two years or more, as in DutyModel.seasonal: null if there is
 * too little to look at, empty if there is none to be seen. Least squares of the blocks' rates, relative to
 * the mean of their stretch between abrupt changes, on a trend that bends once a year and up to four
 * harmonics (averaged over each block); each harmonic is shrunk by how far it stands out of its error.
 * O(blocks × harmonics²).
 */
export function fitSeason(blocks: Blocks, changes: readonly number[], originAt: number): number[] | null {
  let first = 0;
  while (first < blocks.count && -blocks.from[first]! > MAX_DAYS) first += 1;
  const count = blocks.count - first;
  if (count < 1) return null;
  const span = -blocks.from[first]!;
  const perYear = (count * KNOT_DAYS) / span;
  if (span < MIN_DAYS || perYear < MIN_BLOCKS_PER_YEAR * 0.9) return null;
  const harmonics = Math.min(MAX_HARMONICS, Math.floor(perYear / 4 + 0.1));
  const fit = leastSquares(blocks, first, relativeRates(blocks, first, changes), harmonics, originAt);
  if (fit === null) return null;
  const { coefficients, variances } = fit;
  let any = false;
  for (let k = 0; k < harmonics; k++) {
    const cosine = coefficients[2 * k]!;
    const sine = coefficients[2 * k + 1]!;
    // Positive-part shrinkage; the error counts twice because neighbouring blocks share more than chance.
    const error = 2 * (variances[2 * k]! + variances[2 * k + 1]!);
    const power = cosine * cosine + sine * sine;
    const keep = power > LEAST_AMPLITUDE ** 2 ? Math.max(0, 1 - error / power) : 0;
    coefficients[2 * k] = cosine * keep;
    coefficients[2 * k + 1] = sine * keep;
    if (keep > 0) any = true;
  }
  return any ? bounded(coefficients) : [];
}

/** Takes a season out of blocks: their `days` become days' worth of average duty. */
export function deseasonalise(blocks: Blocks, seasonal: readonly number[], originAt: number): void {
  for (let index = 0; index < blocks.count; index++) {
    const length = blocks.to[index]! - blocks.from[index]!;
    blocks.days[index] = seasonalDays(seasonal, originAt + blocks.from[index]! * DAY_MS, length);
  }
}

/** Rate of each block over the mean rate of its stretch between changes. */
function relativeRates(blocks: Blocks, first: number, changes: readonly number[]): Float64Array {
  const rates = new Float64Array(blocks.count);
  let low = first;
  for (const high of [...changes.filter((cut) => cut > first), blocks.count]) {
    let cycles = 0;
    let days = 0;
    for (let index = low; index < high; index++) {
      cycles += blocks.cycles[index]!;
      days += blocks.days[index]!;
    }
    for (let index = low; index < high; index++) {
      rates[index] = cycles > 0 ? (blocks.cycles[index]! / blocks.days[index]!) * (days / cycles) : 1;
    }
    low = high;
  }
  return rates;
}

/** Weighted least squares by normal equations; the harmonics come last in them and are handed back. */
function leastSquares(blocks: Blocks, first: number, rates: Float64Array, harmonics: number, originAt: number) {
  const knots = Math.ceil(-blocks.from[first]! / KNOT_DAYS) + 1;
  const size = knots + 2 * harmonics;
  const matrix = new Float64Array(size * size);
  const right = new Float64Array(size);
  const row = new Float64Array(size);
  const touched = new Int32Array(2 + 2 * harmonics);
  for (let k = 0; k < 2 * harmonics; k++) touched[2 + k] = knots + k;
  const origin = yearAngle(originAt);
  let squares = 0;
  for (let index = first; index < blocks.count; index++) {
    const from = blocks.from[index]!;
    const to = blocks.to[index]!;
    const weight = to - from;
    const place = -(0.5 * (from + to)) / KNOT_DAYS;
    const knot = Math.min(Math.floor(place), knots - 2);
    touched[0] = knot;
    touched[1] = knot + 1;
    row[knot] = 1 - (place - knot);
    row[knot + 1] = place - knot;
    const a = origin + YEAR_RADIANS_PER_DAY * from;
    const b = origin + YEAR_RADIANS_PER_DAY * to;
    averageHarmonics(row, knots, harmonics, a, b);
    for (let p = 0; p < touched.length; p++) {
      const i = touched[p]!;
      const weighted = weight * row[i]!;
      right[i]! += weighted * rates[index]!;
      for (let q = 0; q <= p; q++) matrix[i * size + touched[q]!]! += weighted * row[touched[q]!]!;
    }
    squares += weight * rates[index]! * rates[index]!;
  }
  for (let i = 0; i < size; i++) for (let j = 0; j < i; j++) matrix[j * size + i] = matrix[i * size + j]!;
  const inverse = invertPositive(matrix, size);
  if (inverse === null) return null;
  return solution(inverse, right, squares, blocks.count - first, knots);
}

/** Fills in the mean of each harmonic's cosine and sine between two angles. */
function averageHarmonics(row: Float64Array, knots: number, harmonics: number, a: number, b: number): void {
  const sineA = Math.sin(a);
  const cosineA = Math.cos(a);
  const sineB = Math.sin(b);
  const cosineB = Math.cos(b);
  let [s0, c0, s1, c1] = [sineA, cosineA, sineB, cosineB];
  for (let k = 1; k <= harmonics; k++) {
    row[knots + 2 * k - 2] = (s1 - s0) / (k * (b - a));
    row[knots + 2 * k - 1] = (c0 - c1) / (k * (b - a));
    [s0, c0] = [s0 * cosineA + c0 * sineA, c0 * cosineA - s0 * sineA];
    [s1, c1] = [s1 * cosineB + c1 * sineB, c1 * cosineB - s1 * sineB];
  }
}

function solution(inverse: Float64Array, right: Float64Array, squares: number, count: number, knots: number) {
  const size = right.length;
  const coefficients: number[] = [];
  let explained = 0;
  for (let i = 0; i < size; i++) {
    let value = 0;
    for (let j = 0; j < size; j++) value += inverse[i * size + j]! * right[j]!;
    explained += value * right[i]!;
    if (i >= knots) coefficients.push(value);
  }
  if (count <= size) return null;
  const noise = Math.max(0, squares - explained) / (count - size);
  const variances = coefficients.map((_, k) => noise * inverse[(knots + k) * size + knots + k]!);
  return { coefficients, variances };
}

/** Inverse of a symmetric positive-definite matrix by Gauss–Jordan in place; null: singular. O(size³). */
function invertPositive(matrix: Float64Array, size: number): Float64Array | null {
  for (let pivot = 0; pivot < size; pivot++) {
    const diagonal = matrix[pivot * size + pivot]!;
    if (!(diagonal > 1e-9)) return null;
    matrix[pivot * size + pivot] = 1;
    for (let j = 0; j < size; j++) matrix[pivot * size + j]! /= diagonal;
    for (let i = 0; i < size; i++) {
      if (i === pivot) continue;
      const factor = matrix[i * size + pivot]!;
      matrix[i * size + pivot] = 0;
      for (let j = 0; j < size; j++) matrix[i * size + j]! -= factor * matrix[pivot * size + j]!;
    }
  }
  return matrix;
}

/** Damps the whole season where it would stop the door. */
function bounded(coefficients: number[]): number[] {
  let lowest = 1;
  for (let step = 0; step < 48; step++) {
    let factor = 1;
    for (let k = 1; 2 * k <= coefficients.length; k++) {
      const angle = (k * step * 2 * Math.PI) / 48;
      factor += coefficients[2 * k - 2]! * Math.cos(angle) + coefficients[2 * k - 1]! * Math.sin(angle);
    }
    lowest = Math.min(lowest, factor);
  }
  if (lowest >= LOWEST_FACTOR) return coefficients;
  const damp = (1 - LOWEST_FACTOR) / (1 - lowest);
  return coefficients.map((value) => value * damp);
}
