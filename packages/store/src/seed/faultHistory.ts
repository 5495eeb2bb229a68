import { faultKindOfPart, type FaultKind, type PartKind } from '@lintel/contract';
import type { Dice } from './dice.js';
import { DAY_MS, HISTORY_DAYS, type DoorHistory } from './doorHistory.js';
import type { DemoPart } from './partHistory.js';
import type { Trouble } from './troubles.js';

/** A code of the demo's catalogue. */
export interface DemoCode {
  id: string;
  kind: FaultKind;
  /** How common it is among the faults that come by themselves. */
  weight: number;
}

export interface DemoFault {
  codeId: string;
  at: number;
}

/** A part that a position of the door has held. */
export interface HeldPart extends DemoPart {
  id: string;
  kind: PartKind;
}

/** Faults in the history of the door that gets worse, and how steeply they gather: (t/T)^shape of them by time t. */
const WORSENING = { faults: 16, shape: 3.2 };
/** Days between a repair and the fault that shows it did not help. */
const AGAIN_DAYS = 11;

/**
 * What a door reported in its history: faults by themselves, evenly over its cycles; one before each repair; for a door that
 * gets worse more and more; after the last but one early failure the same again soon after its repair.
 */
export function faultsOf(
  dice: Dice,
  history: DoorHistory,
  codes: readonly DemoCode[],
  parts: readonly HeldPart[],
  story: { trouble: Trouble | null; worsens: boolean },
): DemoFault[] {
  const faults: DemoFault[] = [...byThemselves(dice, history, codes), ...beforeRepairs(dice, history, codes, parts)];
  if (story.worsens) faults.push(...worsening(history, codes));
  if (story.trouble === 'early-failure') faults.push(...againAfterRepair(codes, parts));
  // To the minute, none twice at one instant.
  const seen = new Set<string>();
  return faults
    .map(({ codeId, at }) => ({ codeId, at: Math.round(at / 60_000) * 60_000 }))
    .filter(({ codeId, at }) => {
      const key = `${codeId} ${at}`;
      const fits = at > Math.max(history.from, history.installedAt) && at < history.now && !seen.has(key);
      seen.add(key);
      return fits;
    })
    .sort((a, b) => a.at - b.at);
}

function byThemselves(dice: Dice, history: DoorHistory, codes: readonly DemoCode[]): DemoFault[] {
  const meanDays = 330 * Math.exp(0.7 * dice.normal());
  const [first, last] = [history.cyclesAt(history.from), history.cyclesAt(history.now)];
  const faults: DemoFault[] = [];
  for (let days = dice.weibull(1, meanDays); days < HISTORY_DAYS; days += dice.weibull(1, meanDays)) {
    const at = history.instantOf(first + ((last - first) * days) / HISTORY_DAYS);
    if (at !== null) faults.push({ codeId: drawn(dice, codes).id, at });
  }
  return faults;
}

function drawn(dice: Dice, codes: readonly DemoCode[]): DemoCode {
  let roll = dice.next() * codes.reduce((sum, { weight }) => sum + weight, 0);
  return codes.find(({ weight }) => (roll -= weight) < 0) ?? codes[0]!;
}

const codeFor = (codes: readonly DemoCode[], kind: FaultKind): string => codes.find((code) => code.kind === kind)!.id;

/** A part that fails is mostly reported by the door first. */
function beforeRepairs(dice: Dice, history: DoorHistory, codes: readonly DemoCode[], parts: readonly HeldPart[]): DemoFault[] {
  return parts.flatMap(({ removedAt, reason, kind }) => {
    const told = reason === 'failed' && removedAt !== null && removedAt > history.from && dice.chance(0.8);
    return told ? [{ codeId: codeFor(codes, faultKindOfPart[kind]), at: removedAt - dice.between(0.1, 2) * DAY_MS }] : [];
  });
}

function worsening(history: DoorHistory, codes: readonly DemoCode[]): DemoFault[] {
  const kinds = ['drive', 'position-sensing'] as const;
  return Array.from({ length: WORSENING.faults }, (_, index) => {
    const share = ((index + 0.5) / WORSENING.faults) ** (1 / WORSENING.shape);
    return { codeId: codeFor(codes, kinds[index % kinds.length]!), at: history.from + share * (history.now - history.from) };
  });
}

function againAfterRepair(codes: readonly DemoCode[], parts: readonly HeldPart[]): DemoFault[] {
  const bearings = parts.filter(({ kind, removedAt }) => kind === 'roller-bearings' && removedAt !== null);
  const repaired = bearings.at(-2)?.removedAt;
  if (repaired == null) return [];
  const codeId = codeFor(codes, faultKindOfPart['roller-bearings']);
  return [{ codeId, at: repaired - DAY_MS }, { codeId, at: repaired + AGAIN_DAYS * DAY_MS }];
}
