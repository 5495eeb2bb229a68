/** Random numbers that follow from a seed: equal seeds make equal demos. Generator mulberry32 (T. Ettinger, public domain). */
export class Dice {
  private state: number;

  constructor(seed: number) {
    this.state = seed | 0;
  }

  /** Uniform in [0, 1). */
  next(): number {
    this.state = (this.state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(this.state ^ (this.state >>> 15), 1 | this.state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  }

  between(low: number, high: number): number {
    return low + (high - low) * this.next();
  }

  /** A whole number from `low` to `high`, both included. */
  whole(low: number, high: number): number {
    return Math.floor(this.between(low, high + 1));
  }

  chance(share: number): boolean {
    return this.next() < share;
  }

  pick<T>(items: readonly T[]): T {
    return items[Math.floor(this.next() * items.length)]!;
  }

  /** Standard normal (Box–Muller). */
  normal(): number {
    return Math.sqrt(-2 * Math.log(1 - this.next())) * Math.cos(2 * Math.PI * this.next());
  }

  /** A life from a Weibull law. */
  weibull(shape: number, scale: number): number {
    return scale * (-Math.log(1 - this.next())) ** (1 / shape);
  }
}
