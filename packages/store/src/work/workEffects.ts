import { deviceInstant, type WorkEffect } from '@lintel/engine';
import { newId } from '../context.js';
import type { OrderState } from './orderState.js';
import { correctiveOrder, type WorkBooks } from './workBooks.js';

/** Begins the reason of a door that an unsafe finding took out of service: such a door, and no other, a passed retest brings back. */
export const UNSAFE_REASON = 'Unsafe: ';

/** When a deed was done, from what its device says. */
export interface Deed {
  accountId: string;
  deviceMs: number | undefined;
  /** Kind of the part in a position. */
  partKindAt: (positionId: string) => string | undefined;
}

/** What follows from a command, into the books of its own transaction. */
export function bookEffects(books: WorkBooks, state: OrderState, effects: readonly WorkEffect[], deed: Deed): void {
  for (const effect of effects) bookEffect(books, state, effect, deed);
  const completed = effects.find((effect) => effect.effect === 'record-completion');
  if (completed === undefined) return;
  books.project(state.doorId);
  if (completed.passed && state.origin === 'finding') books.putRight.push(state.id);
}

function bookEffect(books: WorkBooks, state: OrderState, effect: WorkEffect, deed: Deed): void {
  const { door } = state;
  switch (effect.effect) {
    case 'take-door-out-of-service': {
      const finding = state.order.findings.find(({ id }) => effect.findingIds.includes(id));
      takeOut(books, door, effect.findingIds, finding?.text ?? '');
      return;
    }
    case 'record-completion':
      recordCompletion(books, state, effect.passed, deed);
      return;
    case 'store-reading':
      books.readings.push({ orderId: state.id, doorId: state.doorId, atMs: answeredMs(books, state, effect.stepId), value: effect.value });
      return;
    case 'change-part':
      books.partChanges.push({
        orderId: state.id, orderNumber: state.number, doorId: state.doorId, positionId: effect.positionId,
        atMs: answeredMs(books, state, effect.stepId),
        ...(effect.removed && { removed: effect.removed }), ...(effect.fitted && { fitted: effect.fitted }),
      });
      return;
    case 'open-corrective': {
      const finding = books.findings.find((row) => row['id'] === effect.findingId)!;
      const positionId = finding['position_id'] as string | null;
      const partKind = positionId === null ? null : deed.partKindAt(positionId) ?? null;
      const { severity, text } = finding as { severity: string; text: string };
      books.newOrders.push(correctiveOrder({ id: effect.findingId, doorId: state.doorId, severity, text, partKind }, { createdById: deed.accountId, createdAt: books.now }));
      return;
    }
    case 'clear-unsafe':
      for (const findingId of effect.findingIds) books.cleared.push({ findingId, orderId: state.id });
      door.openUnsafe = door.openUnsafe.filter((id) => !effect.findingIds.includes(id));
      return;
    case 'return-door-to-service':
      // Out of service by somebody's own word, it stays out until that person says otherwise.
      if (door.state === 'out_of_service' && door.stateReason?.startsWith(UNSAFE_REASON)) {
        books.setDoor(door, 'in_service', `Tested again and passed: work order ${state.number}`);
      }
      return;
    case 'issue-certificate':
      books.certified.push(state.id);
  }
}

/** A door that is out already, by hand or for another finding, keeps its reason; a decommissioned one stays what it is. */
export function takeOut(books: WorkBooks, door: OrderState['door'], findingIds: readonly string[], text: string): void {
  door.openUnsafe.push(...findingIds);
  if (door.state === 'in_service') books.setDoor(door, 'out_of_service', `${UNSAFE_REASON}${text.slice(0, 280)}`);
}

function recordCompletion(books: WorkBooks, state: OrderState, passed: boolean, { accountId, deviceMs }: Deed): void {
  if (state.taskId === null) return;
  const id = newId();
  const doneMs = deviceInstant(deviceMs, books.now.getTime(), state.releasedMs ?? 0);
  books.completions.push({
    id, door_id: state.doorId, task_id: state.taskId, done_at: new Date(doneMs).toISOString(), passed, note: `Work order ${state.number}`,
    account_id: accountId, recorded_at: books.now.toISOString(),
  });
  state.changes['completion_id'] = id;
}

/**
 * When a step was answered: by the device's clock, unless that lies in the future or before the order was released; then by the
 * server's.
 */
function answeredMs(books: WorkBooks, state: OrderState, stepId: string): number {
  const answer = state.answers.findLast((one) => one.stepId === stepId && one.counts);
  return deviceInstant(answer?.deviceMs, answer?.atMs ?? books.now.getTime(), state.releasedMs ?? 0);
}
