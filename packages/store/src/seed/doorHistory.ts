import type { Dice } from './dice.js';
import type { Trouble } from './troubles.js';

export const DAY_MS = 86_400_000;
/** Eighteen months. */
export const HISTORY_DAYS = 548;

/** What a door has truly done: the demo's hidden truth, of which the counters show what they show. */
export class DoorHistory {
  private constructor(
    /** Instants, milliseconds. */
    readonly installedAt: number,
    readonly from: number,
    readonly now: number,
    readonly cyclesPerDay: number,
    /** Lifetime cycles at `from` and after each day since. */
    private readonly cycles: Float64Array,
  ) {}

  /**
   * Makes a door's life up: a rate of its own, quieter weekends, a season, a slow drift, noise from day to day.
   * @param rolloverAt where given, the door passes a multiple of it within the history.
   */
  static make(dice: Dice, now: number, medianCyclesPerDay: number, trouble: Trouble | null, rolloverAt: number | null): DoorHistory {
    const rate = Math.min(1_500, Math.max(15, medianCyclesPerDay * Math.exp(0.6 * dice.normal())));
    const from = Math.floor(now / DAY_MS) * DAY_MS - HISTORY_DAYS * DAY_MS;
    let lifetime = rate * dice.between(200, 2_400);
    if (rolloverAt !== null) {
      const before = rate * HISTORY_DAYS * dice.between(0.25, 0.75);
      lifetime = Math.ceil(before / rolloverAt) * rolloverAt - before;
    }
    const installedAt = from - Math.max(30, Math.round(lifetime / rate)) * DAY_MS;
    const busierFrom = trouble === 'busier' ? dice.whole(200, 400) : Infinity;
    const stoppedFrom = trouble === 'decommissioned' ? HISTORY_DAYS - 90 : trouble === 'out-of-service' ? HISTORY_DAYS - 3 : Infinity;
    const [weekend, season, phase, drift] = [dice.between(0.15, 0.9), dice.between(0, 0.2), dice.between(0, 365), dice.between(-0.2, 0.3)];
    const cycles = new Float64Array(HISTORY_DAYS + 1);
    cycles[0] = Math.round(lifetime);
    for (let day = 0; day < HISTORY_DAYS; day++) {
      const weekday = new Date(from + day * DAY_MS).getUTCDay();
      const level =
        rate * (weekday % 6 === 0 ? weekend : 1) * (1 + season * Math.sin((2 * Math.PI * (day + phase)) / 365)) *
        (1 + (drift * day) / HISTORY_DAYS) * (day >= busierFrom ? 1.9 : 1);
      const made = day >= stoppedFrom ? 0 : Math.max(0, Math.round(level + Math.sqrt(4 * level) * dice.normal()));
      cycles[day + 1] = cycles[day]! + made;
    }
    return new DoorHistory(installedAt, from, now, rate, cycles);
  }

  /** Lifetime cycles at an instant, whole. */
  cyclesAt(at: number): number {
    if (at <= this.installedAt) return 0;
    if (at <= this.from) return Math.round((this.cycles[0]! * (at - this.installedAt)) / (this.from - this.installedAt));
    const days = Math.min((at - this.from) / DAY_MS, HISTORY_DAYS);
    const day = Math.min(Math.floor(days), HISTORY_DAYS - 1);
    return Math.round(this.cycles[day]! + (this.cycles[day + 1]! - this.cycles[day]!) * (days - day));
  }

  /** The instant at which the door had made so many cycles; null: not yet. */
  instantOf(cycles: number): number | null {
    if (cycles > this.cycles[HISTORY_DAYS]!) return null;
    if (cycles <= this.cycles[0]!) return this.installedAt + ((this.from - this.installedAt) * cycles) / this.cycles[0]!;
    let [low, high] = [0, HISTORY_DAYS];
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (this.cycles[middle]! < cycles) low = middle;
      else high = middle;
    }
    const made = this.cycles[high]! - this.cycles[low]!;
    return this.from + (low + (cycles - this.cycles[low]!) / made) * DAY_MS;
  }
}
