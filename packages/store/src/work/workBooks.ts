import type pg from 'pg';
import { newId, type CompanyContext } from '../context.js';
import { ingestReadings } from '../duty/ingestReadings.js';
import { enqueueMany } from '../jobs/enqueue.js';
import { writeLedgerMany, type LedgerNote } from '../ledger/writeLedger.js';
import { issueCertificate } from '../safety/issueCertificate.js';
import { KeySecretError } from '../safety/keySecret.js';
import { REFIT_AFTER_SECONDS } from '../wear/askForRefits.js';
import { changeParts, type PartChange } from './changeParts.js';
import type { DoorState, OrderState } from './orderState.js';
import { insertRows, updateRows, type TableRow } from './rows.js';
import { takeFromVans, type TakenPart } from './takeFromVans.js';

/** Several changes of a door within so many seconds are projected once. */
const PROJECT_AFTER_SECONDS = 5;

/** An order that is to be made; its number comes at the end. */
export interface NewOrder {
  id: string;
  columns: TableRow;
  /** Unsafe findings that it is to test again. */
  retests: readonly string[];
  /** Findings that it is to put right. */
  puts: readonly string[];
}

export interface BookedReading {
  orderId: string;
  doorId: string;
  atMs: number;
  value: number;
}

/**
 * What one transaction of work writes, gathered while the engine decides and written at once at its end, each table by one
 * statement. The company's counter is taken last: nobody waits for it longer than for this one's commit, and nobody who holds it
 * waits for anything else.
 */
export class WorkBooks {
  readonly answers: TableRow[] = [];
  readonly findings: TableRow[] = [];
  readonly times: TableRow[] = [];
  readonly usedParts: TableRow[] = [];
  readonly takenParts: TakenPart[] = [];
  readonly signatures: TableRow[] = [];
  readonly completions: TableRow[] = [];
  readonly commands: TableRow[] = [];
  readonly newOrders: NewOrder[] = [];
  readonly readings: BookedReading[] = [];
  readonly partChanges: PartChange[] = [];
  readonly notes: LedgerNote[] = [];
  /** Findings cleared by an order's passed retest. */
  readonly cleared: { findingId: string; orderId: string }[] = [];
  /** Corrective orders that were passed: what they were to put right is put right. */
  readonly putRight: string[] = [];
  /** Orders whose result is to be certified. */
  readonly certified: string[] = [];
  private readonly orders = new Map<string, OrderState>();
  private readonly doors = new Map<string, DoorState>();
  private readonly projected = new Set<string>();

  constructor(
    readonly client: pg.ClientBase,
    readonly context: CompanyContext,
    /** The server's time of all that is written here. */
    readonly now: Date,
  ) {}

  /** An order changed by one step: a version more, and columns to write. */
  change(state: OrderState, changes: Record<string, unknown> = {}): void {
    Object.assign(state.changes, changes);
    state.version += 1;
    state.changed = true;
    this.orders.set(state.id, state);
  }

  setDoor(door: DoorState, state: 'in_service' | 'out_of_service', reason: string): void {
    Object.assign(door, { state, stateReason: reason, changed: true });
    this.doors.set(door.id, door);
    this.notes.push({ action: 'door-state-set', subjectKind: 'door', subjectId: door.id, detail: { state: state.replaceAll('_', '-'), reason } });
    this.project(door.id);
  }

  project(doorId: string): void {
    this.projected.add(doorId);
  }

  note(action: string, subjectKind: 'work-order' | 'finding', subjectId: string, detail: Record<string, unknown>): void {
    this.notes.push({ action, subjectKind, subjectId, detail });
  }

  async write(): Promise<void> {
    const { client, context: { companyId } } = this;
    await insertRows(client, companyId, 'completion', this.completions);
    await insertRows(client, companyId, 'finding', this.findings);
    await insertRows(client, companyId, 'work_answer', this.answers);
    await insertRows(client, companyId, 'work_time', this.times);
    await insertRows(client, companyId, 'work_part', this.usedParts);
    await takeFromVans(client, companyId, this.takenParts);
    await insertRows(client, companyId, 'work_signature', this.signatures);
    await this.writeDoors();
    await this.clearFindings();
    const kinds = await changeParts(client, companyId, this.partChanges);
    await enqueueMany(client, this.context, 'refit-pool', kinds.map((kind) => ({ kind })), { debounceSeconds: REFIT_AFTER_SECONDS });
    await this.storeReadings();
    await enqueueMany(client, this.context, 'project-door', [...this.projected].map((doorId) => ({ doorId })), { debounceSeconds: PROJECT_AFTER_SECONDS });
    await insertRows(client, companyId, 'device_command', this.commands);
    await writeLedgerMany(client, this.context, this.notes);
    await this.writeOrders();
    for (const orderId of this.certified) await this.certify(orderId);
  }

  /** Where nothing can be signed the work stands all the same: the certificate can be issued later. */
  private async certify(orderId: string): Promise<void> {
    await this.client.query('SAVEPOINT certificate');
    try {
      await issueCertificate(this.client, this.context, orderId, this.now);
    } catch (error) {
      if (!(error instanceof KeySecretError)) throw error;
      await this.client.query('ROLLBACK TO SAVEPOINT certificate');
      await writeLedgerMany(this.client, this.context, [
        { action: 'certificate-not-issued', subjectKind: 'work-order', subjectId: orderId, detail: { reason: error.message } },
      ]);
    }
  }

  private async writeDoors(): Promise<void> {
    const doors = [...this.doors.values()];
    if (doors.length === 0) return;
    await this.client.query(
      `UPDATE door d SET state = g.state::"DoorState", state_reason = g.reason, state_since = $2, version = d.version + 1
       FROM unnest($3::uuid[], $4::text[], $5::text[]) AS g(id, state, reason) WHERE d.company_id = $1::uuid AND d.id = g.id`,
      [this.context.companyId, this.now, doors.map(({ id }) => id), doors.map(({ state }) => state), doors.map(({ stateReason }) => stateReason)],
    );
  }

  private async clearFindings(): Promise<void> {
    const { client, context: { companyId }, cleared, putRight, now } = this;
    if (cleared.length > 0) {
      await client.query(
        `UPDATE finding f SET cleared_at = $2, cleared_by_id = g.order_id, version = f.version + 1
         FROM unnest($3::uuid[], $4::uuid[]) AS g(id, order_id) WHERE f.company_id = $1::uuid AND f.id = g.id AND f.cleared_at IS NULL`,
        [companyId, now, cleared.map(({ findingId }) => findingId), cleared.map(({ orderId }) => orderId)],
      );
    }
    if (putRight.length > 0) {
      await client.query(
        `UPDATE finding SET cleared_at = $2, cleared_by_id = corrective_id, version = version + 1
         WHERE company_id = $1::uuid AND corrective_id = ANY ($3::uuid[]) AND severity <> 'unsafe' AND cleared_at IS NULL`,
        [companyId, now, putRight],
      );
    }
  }

  /** A reading that no counter takes any more (it was changed meanwhile) is noted and does not stop the work. */
  private async storeReadings(): Promise<void> {
    if (this.readings.length === 0) return;
    const given = this.readings.map(({ doorId, atMs, value }) => ({ doorId, at: new Date(atMs).toISOString(), value }));
    const { refused } = await ingestReadings(this.client, this.context, given, { source: 'form', now: this.now.getTime() });
    for (const { index, field, message } of refused) {
      const { orderId, value } = this.readings[index]!;
      this.note('work-reading-not-stored', 'work-order', orderId, { value, field, message });
    }
  }

  private async writeOrders(): Promise<void> {
    const { client, context: { companyId }, newOrders } = this;
    const changed = [...this.orders.values()];
    if (changed.length === 0 && newOrders.length === 0) return;
    const { rows: [counted] } = await client.query<{ number: number; change_no: string }>(
      `INSERT INTO work_counter AS c (company_id, next_number, change_no) VALUES ($1::uuid, 1 + $2::int, 1)
       ON CONFLICT (company_id) DO UPDATE SET next_number = c.next_number + $2::int, change_no = c.change_no + 1
       RETURNING next_number - $2::int AS number, change_no`,
      [companyId, newOrders.length],
    );
    const changeNo = Number(counted!.change_no);
    await insertRows(client, companyId, 'work_order', newOrders.map(({ id, columns }, index) => ({
      id, number: counted!.number + index, ...columns, change_no: changeNo,
    })));
    await insertRows(client, companyId, 'work_retest', newOrders.flatMap(({ id, retests }) =>
      retests.map((findingId) => ({ work_order_id: id, finding_id: findingId }))));
    const puts = newOrders.flatMap(({ id, puts: findings }) => findings.map((findingId) => ({ id: findingId, corrective_id: id })));
    await updateRows(client, companyId, 'finding', puts);
    // Orders that changed in the same columns go together.
    const groups = new Map<string, (TableRow & { id: string })[]>();
    for (const { id, changes, version } of changed) {
      const row = { id, ...changes, version, change_no: changeNo };
      const key = Object.keys(row).sort().join();
      groups.set(key, [...(groups.get(key) ?? []), row]);
    }
    for (const rows of groups.values()) await updateRows(client, companyId, 'work_order', rows);
  }
}

/** The columns of a new order that nobody has touched yet. */
export function plannedColumns(given: {
  kind: string; origin: 'due' | 'finding' | 'hand'; doorId: string; taskId?: string | null; title: string; instructions?: string | null;
  minutes: number; skills?: readonly string[]; parts?: readonly string[]; technicianId?: string | null; plannedOn?: string | null;
  plannedStart?: string | null; createdById: string | null; createdAt: Date;
}): TableRow {
  return {
    kind: given.kind, state: 'planned', origin: given.origin, door_id: given.doorId, task_id: given.taskId ?? null, title: given.title,
    instructions: given.instructions ?? null, minutes: given.minutes, skills: given.skills ?? [], parts: given.parts ?? [],
    technician_id: given.technicianId ?? null, former_ids: [], planned_on: given.plannedOn ?? null, planned_start: given.plannedStart ?? null,
    steps: [], devices: [], created_by_id: given.createdById, created_at: given.createdAt.toISOString(), version: 1,
  };
}

/** A new order for a finding. An unsafe one is tested again by it. */
export function correctiveOrder(
  finding: { id: string; doorId: string; severity: string; text: string; partKind: string | null },
  made: { createdById: string | null; createdAt: Date },
): NewOrder {
  const [line = ''] = finding.text.split('\n');
  return {
    id: newId(),
    columns: plannedColumns({
      ...made, kind: 'corrective', origin: 'finding', doorId: finding.doorId, title: line.length > 110 ? `${line.slice(0, 109)}…` : line,
      instructions: finding.text, minutes: CORRECTIVE_MINUTES, parts: finding.partKind === null ? [] : [finding.partKind],
    }),
    retests: finding.severity === 'unsafe' ? [finding.id] : [],
    puts: [finding.id],
  };
}

/** Until the planner says better; a choice of this project, no source. */
const CORRECTIVE_MINUTES = 60;
