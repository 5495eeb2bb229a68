import type { FindingGiven, TechnicianCommand } from '@lintel/contract';
import {
  applyWorkCommand, civilDateAt, competenceOn, competencesFor, deviceInstant, standing, standingAnswers, type Finding, type StepAnswer, type WorkCommand, type WorkEffect, type WorkOrder, type WorkState,
} from '@lintel/engine';
import type { KnownRows } from './knownRows.js';
import type { OrderState, TakenAnswer } from './orderState.js';
import type { WorkBooks } from './workBooks.js';
import { bookEffects } from './workEffects.js';

export interface Refused {
  refused: string;
  facts: Record<string, unknown>;
}
export type CommandResult = { outcome: 'applied' | 'contested' } | Refused;

/** Who does it, and what of the database the rules have to know beforehand. */
export interface Doing {
  /** Of the command; an answer or a time that it makes carries it on. */
  id: string;
  accountId: string;
  /** Planners and administrators work on every order. */
  planner: boolean;
  /** By the device's clock; undefined at a desk. */
  deviceMs: number | undefined;
  known: KnownRows;
}

const deviceIso = ({ deviceMs }: Doing): string | null => (deviceMs === undefined ? null : new Date(deviceMs).toISOString());
const refused = (code: string, facts: Record<string, unknown> = {}): Refused => ({ refused: code, facts });

/** Theirs, nobody's, or theirs before: a technician may have worked without a signal while the order went to another. */
export function mayWork(state: OrderState, { accountId, planner }: Pick<Doing, 'accountId' | 'planner'>): boolean {
  return planner || state.technicianId === null || state.technicianId === accountId || state.formerIds.includes(accountId)
    || state.answers.some((answer) => answer.accountId === accountId);
}

/** Does a technician's command: decides by the engine's rules on the locked order, and books what follows. Nothing is written yet. */
export function applyTechnicianCommand(books: WorkBooks, state: OrderState, command: TechnicianCommand, doing: Doing): CommandResult {
  if (command.command === 'report') return report(books, state, command.finding, doing);
  if (!mayWork(state, doing)) return refused('not-yours', { number: state.number });
  switch (command.command) {
    case 'start':
      // The second of two who start the same order finds it started: that is what was wanted.
      if (state.order.state === 'started') return { outcome: 'applied' };
      return step(books, state, { command: 'start' }, doing, 'work-started', { started_at: books.now.toISOString() });
    case 'answer':
      return answer(books, state, command, doing);
    case 'complete':
      return complete(books, state, command.passed, doing);
    case 'record-time': {
      if (state.order.state === 'planned') return outOfPlace(state, command.command);
      const { kind, minutes, startedAt } = command;
      books.times.push({ id: doing.id, work_order_id: state.id, account_id: doing.accountId, kind, minutes, started_at: startedAt });
      return noted(books, state, 'work-time-recorded', { kind, minutes });
    }
    case 'use-part':
      return usePart(books, state, command, doing);
    case 'sign':
      return sign(books, state, command, doing);
  }
}

/** One move by the engine, its columns, its entry in the ledger, its effects. */
function step(
  books: WorkBooks, state: OrderState, command: WorkCommand, doing: Doing, action: string, columns: Record<string, unknown>,
): CommandResult {
  const moved = applyWorkCommand(state.order, command);
  if ('refused' in moved) return refused(moved.refused, { ...moved.facts });
  take(books, state, moved, columns);
  books.note(action, 'work-order', state.id, { number: state.number, ...(command.command === 'complete' && { passed: command.passed }) });
  bookEffects(books, state, moved.effects, { accountId: doing.accountId, deviceMs: doing.deviceMs, partKindAt: (id) => doing.known.positions.get(id) });
  return { outcome: 'applied' };
}

export function take(books: WorkBooks, state: OrderState, moved: { order: WorkOrder; effects: readonly WorkEffect[] }, columns: Record<string, unknown>): void {
  state.order = moved.order;
  books.change(state, { state: moved.order.state, ...columns });
}

function answer(books: WorkBooks, state: OrderState, given: Extract<TechnicianCommand, { command: 'answer' }>, doing: Doing): CommandResult {
  const { stepId, settlesId } = given;
  const { conflicts } = standingAnswers(state.answers);
  if (settlesId != null && !conflicts.some((one) => one.id === settlesId && one.stepId === stepId)) return refused('no-such-conflict', { stepId });
  const told = withOwnGauge(given.answer, doing);
  if ('refused' in told) return refused(told.refused, { stepId, ...told.facts });
  const moved = applyWorkCommand(state.order, { command: 'answer', stepId, answer: told });
  if ('refused' in moved) return refused(moved.refused, { ...moved.facts });
  const { value } = moved.order.answers.at(-1)!;
  const newest = state.answers.findLast((one) => one.stepId === stepId && one.counts);
  // An answer that was itself refused is none to stand on.
  const baseId = state.answers.some(({ id }) => id === given.baseId) ? given.baseId! : null;
  const stepOf = state.order.steps.find(({ id }) => id === stepId)!;
  const counts = standing(stepOf, { accountId: doing.accountId, value, baseId, settlesId }, newest) === 'counts';
  const taken: TakenAnswer = {
    id: doing.id, stepId, value, accountId: doing.accountId, counts, settlesId: settlesId ?? null, atMs: books.now.getTime(), deviceMs: doing.deviceMs,
  };
  state.answers.push(taken);
  state.order = { ...state.order, ...standingAnswers(state.answers) };
  books.answers.push({
    id: doing.id, work_order_id: state.id, step: stepId, value, base_id: baseId, settles_id: settlesId ?? null, counts,
    account_id: doing.accountId, at: books.now.toISOString(), device_at: deviceIso(doing),
  });
  books.change(state);
  books.note('work-step-answered', 'work-order', state.id, {
    number: state.number, stepId, outcome: value.outcome, ...(!counts && { contested: true }), ...(settlesId != null && { settles: settlesId }),
  });
  return { outcome: counts ? 'applied' : 'contested' };
}

/**
 * A force test goes by the company's own record of its gauge, whatever the device says of it; once the company keeps a gauge, it
 * is one of those, or the limits on calibration could be typed away.
 */
function withOwnGauge(answer: StepAnswer, { known }: Doing): StepAnswer | Refused {
  if (answer.kind !== 'force-test' || known.gauges.size === 0) return answer;
  const gauge = known.gauges.get(answer.instrumentId ?? '');
  return gauge === undefined ? refused('gauge-not-usable', { reasons: ['not-on-record'] }) : { ...answer, gauge };
}

/** What of the competences asked for whoever does it lacks, on the day in the site's calendar. */
function lackingOf(books: WorkBooks, state: OrderState, { accountId, deviceMs, known }: Doing) {
  const on = civilDateAt(deviceInstant(deviceMs, books.now.getTime(), state.releasedMs ?? 0), state.door.timeZone);
  return competencesFor(state.order).filter((kind) => competenceOn(known.competences, { accountId, kind, on }).blocks);
}

function complete(books: WorkBooks, state: OrderState, passed: boolean, doing: Doing): CommandResult {
  const columns = { passed, completed_at: books.now.toISOString(), completed_by_id: doing.accountId };
  return step(books, state, { command: 'complete', passed, openUnsafe: [...state.door.openUnsafe], lacking: lackingOf(books, state, doing) }, doing, 'work-completed', columns);
}

/**
 * A finding waits for nothing: where the order takes none any more (it was completed or cancelled meanwhile, or is another's),
 * it is the door's own, with all that follows from it.
 */
function report(books: WorkBooks, state: OrderState, given: FindingGiven, doing: Doing): CommandResult {
  if (doing.known.findings.has(given.id)) return refused('finding-twice', { findingId: given.id });
  if (given.positionId !== undefined && !doing.known.positions.has(given.positionId)) return refused('no-such-position', { positionId: given.positionId });
  const { id, severity, text, stepId } = given;
  const finding: Finding = { id, severity, text, ...(stepId !== undefined && { stepId }) };
  const moved = mayWork(state, doing) ? applyWorkCommand(state.order, { command: 'report', finding }) : refused('not-yours');
  const ofOrder = !('refused' in moved);
  if (!ofOrder && moved.refused !== 'not-in-this-state' && moved.refused !== 'not-yours') return refused(moved.refused, { ...moved.facts });
  const at = state.order.steps.find((one) => one.id === stepId);
  const positionId = given.positionId ?? (at !== undefined && 'positionId' in at ? at.positionId : null);
  const foundMs = deviceInstant(doing.deviceMs, books.now.getTime(), state.releasedMs ?? 0);
  doing.known.findings.add(id);
  books.findings.push(findingRow({ ...given, text, positionId, doorId: state.doorId, accountId: doing.accountId, foundMs, orderId: ofOrder ? state.id : null }));
  books.note('finding-reported', 'finding', id, { number: state.number, severity, doorId: state.doorId, ofOrder });
  const effects = ofOrder ? moved.effects : effectsOfReport(finding);
  if (ofOrder) take(books, state, moved, {});
  else state.order = { ...state.order, findings: [...state.order.findings, finding] };
  bookEffects(books, state, effects, { accountId: doing.accountId, deviceMs: doing.deviceMs, partKindAt: (position) => doing.known.positions.get(position) });
  return { outcome: 'applied' };
}

/** What follows from a finding at any time: as from one reported at an order under way. */
export function effectsOfReport(finding: Finding): WorkEffect[] {
  const state: WorkState = 'started';
  const moved = applyWorkCommand({ kind: 'corrective', state, steps: [], devices: [], answers: [], findings: [], retests: [] }, {
    command: 'report', finding: { id: finding.id, severity: finding.severity, text: finding.text },
  });
  return 'refused' in moved ? [] : moved.effects;
}

export function findingRow(given: {
  id: string; doorId: string; orderId: string | null; stepId?: string; positionId: string | null; severity: string; text: string;
  photoIds?: readonly string[]; foundMs: number; accountId: string;
}): Record<string, unknown> {
  return {
    id: given.id, door_id: given.doorId, work_order_id: given.orderId, step: given.stepId ?? null, position_id: given.positionId,
    severity: given.severity, text: given.text, photos: given.photoIds ?? [], found_at: new Date(given.foundMs).toISOString(),
    account_id: given.accountId, version: 1,
  };
}

function usePart(books: WorkBooks, state: OrderState, given: Extract<TechnicianCommand, { command: 'use-part' }>, doing: Doing): CommandResult {
  if (state.order.state === 'planned') return outOfPlace(state, given.command);
  const { kind, code, name, quantity, positionId } = given;
  if (positionId !== undefined && !doing.known.positions.has(positionId)) return refused('no-such-position', { positionId });
  books.usedParts.push({ id: doing.id, work_order_id: state.id, kind, code: code ?? null, name: name ?? null, quantity, position_id: positionId ?? null });
  if (code !== undefined) books.takenParts.push({ technicianId: doing.accountId, code, quantity });
  return noted(books, state, 'work-part-used', { kind, quantity, ...(code !== undefined && { code }) });
}

function sign(books: WorkBooks, state: OrderState, { command, imageId, signerName }: Extract<TechnicianCommand, { command: 'sign' }>, doing: Doing): CommandResult {
  if (state.order.state !== 'started' && state.order.state !== 'completed') return outOfPlace(state, command);
  if (doing.known.signatures.get(imageId) !== state.id) return refused('no-such-image', { imageId });
  books.signatures.push({
    id: doing.id, work_order_id: state.id, image_id: imageId, signer_name: signerName, at: books.now.toISOString(), device_at: deviceIso(doing), account_id: doing.accountId,
  });
  return noted(books, state, 'work-signed', { signerName });
}

const outOfPlace = (state: OrderState, command: string): Refused => refused('not-in-this-state', { state: state.order.state, command });

function noted(books: WorkBooks, state: OrderState, action: string, detail: Record<string, unknown>): CommandResult {
  books.change(state);
  books.note(action, 'work-order', state.id, { number: state.number, ...detail });
  return { outcome: 'applied' };
}
