import type { RatePrior } from './types.js';

/**
 * What is said of a door of which nothing is known and that has no peers: 150 cycles a day, give or take as
 * much again. Common practice, no source.
 */
export const DEFAULT_PRIOR: Readonly<RatePrior> = { cyclesPerDay: 150, variance: 150 * 150, peers: 0 };

/** Over-dispersion assumed of a peer's count about its own rate. Common practice, no source. */
const PEER_DISPERSION = 8;

/**
 * Spread taken for doors of one group before their counts are seen, relative to their mean, and how many
 * peers' worth it counts as, so that two peers that happen to agree do not make a third certain. Common
 * practice, no source.
 */
const ASSUMED_SPREAD = 0.5;
const ASSUMED_SPREAD_WEIGHT = 1;

/**
 * What do the peers of a door say of its rate before its own readings? Empirical Bayes for a Gamma–Poisson
 * model with over-dispersed counts: mean and variance of the true rates between peers by moments, the
 * counting noise taken out (after Robbins 1956; the weighting of DerSimonian & Laird 1986), the variance then
 * shrunk to an assumed spread.
 *
 * `cycles` made in `days` by each peer. Peers with no days are passed over. With none left: DEFAULT_PRIOR;
 * with one: near its rate, with the assumed spread. The variance also carries the error of the mean itself.
 * The order of the peers does not matter (but for rounding). O(n).
 * @throws RangeError naming the peer whose cycles or days are negative or not finite.
 */
export function peerPrior(peers: readonly { cycles: number; days: number }[]): RatePrior {
  let count = 0;
  let cycles = 0;
  let days = 0;
  for (const [index, peer] of peers.entries()) {
    for (const field of ['cycles', 'days'] as const) {
      if (peer[field] >= 0 && peer[field] < Infinity) continue;
      throw new RangeError(`peer ${index}: ${field} must be 0 or more`);
    }
    if (peer.days === 0) continue;
    count += 1;
    cycles += peer.cycles;
    days += peer.days;
  }
  if (count === 0) return { ...DEFAULT_PRIOR };
  const pooled = Math.max(cycles / days, 1 / days);
  const between = spreadBetween(peers, pooled, count);
  // Precision-weighted mean: long-watched peers say more, but no more than the true spread between doors lets
  // them.
  let weightSum = 1 / (DEFAULT_PRIOR.variance + between);
  let weighted = weightSum * DEFAULT_PRIOR.cyclesPerDay;
  for (const peer of peers) {
    if (peer.days === 0) continue;
    const weight = 1 / (between + (PEER_DISPERSION * pooled) / peer.days);
    weightSum += weight;
    weighted += (weight * peer.cycles) / peer.days;
  }
  const mean = weighted / weightSum;
  return { cyclesPerDay: mean, variance: between + 1 / weightSum, peers: count };
}

/** Variance of the true rates by moments, shrunk to the assumed spread. */
function spreadBetween(peers: readonly { cycles: number; days: number }[], pooled: number, count: number): number {
  let mean = 0;
  let noise = 0;
  for (const peer of peers) {
    if (peer.days === 0) continue;
    mean += peer.cycles / peer.days / count;
    noise += (PEER_DISPERSION * pooled) / peer.days / count;
  }
  let squares = 0;
  for (const peer of peers) if (peer.days > 0) squares += (peer.cycles / peer.days - mean) ** 2;
  const observed = count < 2 ? 0 : Math.max(0, squares / (count - 1) - noise);
  const assumed = (ASSUMED_SPREAD * pooled) ** 2;
  return ((count - 1) * observed + ASSUMED_SPREAD_WEIGHT * assumed) / (count - 1 + ASSUMED_SPREAD_WEIGHT);
}
