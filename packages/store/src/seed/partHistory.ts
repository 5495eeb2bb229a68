import type { PartKind } from '@lintel/contract';
import type { Dice } from './dice.js';
import { DAY_MS, type DoorHistory } from './doorHistory.js';
import type { Trouble } from './troubles.js';

const MONTH_MS = 30.4375 * DAY_MS;
const MOST_PARTS = 12;

export interface DemoPosition {
  id: string;
  kind: PartKind;
  b10Cycles: number | null;
  b10Months: number | null;
  lifeShape: number;
}

export interface DemoPart {
  fittedAt: number;
  removedAt: number | null;
  reason: 'failed' | 'worn' | 'preventive' | 'damaged' | null;
  note: string | null;
}

/** The parts that one position of a door has held, first to last. */
export function partsOf(
  dice: Dice,
  history: DoorHistory,
  position: DemoPosition,
  trouble: Trouble | null,
  reasons: { earlyFailure: string; notes: readonly string[] },
): DemoPart[] {
  const early = trouble === 'early-failure' && position.kind === 'roller-bearings' ? earlyFailures(dice, history) : [];
  const parts: DemoPart[] = [];
  let fittedAt = history.installedAt;
  while (parts.length < MOST_PARTS) {
    const failsEarly = early[0] !== undefined && early[0] > fittedAt;
    const end = failsEarly ? early[0]! : endOfLife(dice, history, position, fittedAt);
    if (end === null || end >= history.now - DAY_MS) break;
    if (failsEarly) early.shift();
    const reason = failsEarly ? 'failed' : removalReason(dice);
    // Pulled before its end, where somebody looked in time.
    const removedAt = reason === 'preventive' ? fittedAt + (end - fittedAt) * dice.between(0.6, 0.95) : end;
    parts.push({ fittedAt, removedAt, reason, note: failsEarly ? reasons.earlyFailure : noteFor(dice, reason, reasons.notes) });
    fittedAt = removedAt;
  }
  parts.push({ fittedAt, removedAt: null, reason: null, note: null });
  return parts;
}

/** Three bearings within months of each other, the last of them lately. */
function earlyFailures(dice: Dice, history: DoorHistory): number[] {
  return [150, 75, 20].map((daysAgo) => history.now - (daysAgo + dice.between(0, 10)) * DAY_MS);
}

function endOfLife(dice: Dice, history: DoorHistory, position: DemoPosition, fittedAt: number): number | null {
  const b10 = position.b10Cycles ?? position.b10Months!;
  // B10 is the age by which a tenth has failed: scale = B10 / (−ln 0.9)^(1/shape).
  const life = dice.weibull(position.lifeShape, b10 / (-Math.log(0.9)) ** (1 / position.lifeShape));
  return position.b10Cycles === null ? fittedAt + life * MONTH_MS : history.instantOf(history.cyclesAt(fittedAt) + life);
}

function removalReason(dice: Dice): 'failed' | 'worn' | 'preventive' | 'damaged' {
  const roll = dice.next();
  return roll < 0.5 ? 'failed' : roll < 0.7 ? 'worn' : roll < 0.92 ? 'preventive' : 'damaged';
}

function noteFor(dice: Dice, reason: string, notes: readonly string[]): string | null {
  return reason !== 'preventive' && dice.chance(0.3) ? dice.pick(notes) : null;
}
