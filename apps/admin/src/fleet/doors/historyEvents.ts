import type { Completion, Counter, FittedPart, LedgerEntry } from '@lintel/contract';
import { formatWhole } from '@lintel/ui';
import { removalWords } from '../../common/words.js';
import { actionWords, detailWords } from '../../ledger/ledgerWords.js';

export const eventKinds = { task: 'tasks', part: 'parts', counter: 'counters', entry: 'ledger' } as const;
export type EventKind = keyof typeof eventKinds;

/** One line of a door's history. */
export interface HistoryEvent {
  key: string;
  kind: EventKind;
  at: string;
  title: string;
  detail: string;
  who: string | null;
}

export function taskEvents(completions: readonly Completion[]): HistoryEvent[] {
  return completions.map((done) => ({
    key: `task${done.id}`,
    kind: 'task',
    at: done.doneAt,
    title: `${done.taskName}: ${done.passed ? 'done' : 'done, not passed'}`,
    detail: [done.lifetimeCycles === null ? '' : `at ${formatWhole(done.lifetimeCycles)} cycles`, done.note ?? ''].filter(Boolean).join('; '),
    who: done.accountName,
  }));
}

export function partEvents(parts: readonly FittedPart[]): HistoryEvent[] {
  return parts.flatMap((part) => {
    const named = `${part.positionName}${part.serial ? `, serial ${part.serial}` : ''}`;
    const fitted: HistoryEvent = {
      key: `fit${part.id}`,
      kind: 'part',
      at: part.fittedAt,
      title: `${named}: fitted`,
      detail: [part.fittedCycles === null ? '' : `at ${formatWhole(part.fittedCycles)} cycles`, part.ageAtFitting > 0 ? `had run ${formatWhole(part.ageAtFitting)} cycles` : '']
        .filter(Boolean)
        .join('; '),
      who: null,
    };
    if (part.removedAt === null) return [fitted];
    const reason = part.removalReason === null ? 'taken out' : removalWords[part.removalReason].toLowerCase();
    const cycles = part.removedCycles === null ? '' : `at ${formatWhole(part.removedCycles)} cycles`;
    return [fitted, { key: `out${part.id}`, kind: 'part', at: part.removedAt, title: `${named}: ${reason}`, detail: [cycles, part.note ?? ''].filter(Boolean).join('; '), who: null }];
  });
}

export function counterEvents(counters: readonly Counter[]): HistoryEvent[] {
  return counters.flatMap((counter) => {
    const facts = [
      counter.startValue === null ? '' : `it showed ${formatWhole(counter.startValue)}`,
      counter.modulus === null ? '' : `rolls over at ${formatWhole(counter.modulus)}`,
    ];
    const fitted: HistoryEvent = { key: `count${counter.id}`, kind: 'counter', at: counter.fittedAt, title: `Counter “${counter.name}”: fitted`, detail: facts.filter(Boolean).join('; '), who: null };
    if (counter.removedAt === null) return [fitted];
    return [fitted, { key: `uncount${counter.id}`, kind: 'counter', at: counter.removedAt, title: `Counter “${counter.name}”: taken out`, detail: '', who: null }];
  });
}

export function ledgerEvents(entries: readonly LedgerEntry[]): HistoryEvent[] {
  return entries.map((entry) => ({
    key: `entry${entry.id}`,
    kind: 'entry',
    at: entry.at,
    title: actionWords(entry.action),
    detail: detailWords(entry.detail),
    who: entry.accountName ?? entry.actor,
  }));
}

/** Newest first; what happened at the same instant keeps its order. */
export function inOrder(events: readonly HistoryEvent[]): HistoryEvent[] {
  return [...events].sort((a, b) => b.at.localeCompare(a.at));
}
