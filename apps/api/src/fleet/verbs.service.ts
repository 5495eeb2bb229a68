import type { CounterRemove, DoorSetState, DoorState, FittedPartRemove } from '@lintel/contract';
import { writeLedger, type CompanyContext, type CompanyDb } from '@lintel/store';
import { Inject, Injectable } from '@nestjs/common';
import type { Caller } from '../platform/access.js';
import type { Row, WriteDefinition } from '../platform/resource/definition.js';
import { Reader } from '../platform/resource/reader.js';
import { stale, Writer } from '../platform/resource/writer.js';
import { invalidField, Refusal } from '../platform/refusal.js';
import { counters, doors, fittedParts } from './doors.js';
import { refitKindOfPart, reprojectDoor } from './reproject.js';

/** A version that the change must be made over, where the caller gave one. */
type Version = number | null;
/** The step itself, on a row that still stands as it was found; answers how many rows it moved. */
type Step = (db: CompanyDb, where: { id: string; version?: number }) => Promise<number>;

interface Verb {
  definition: WriteDefinition;
  action: string;
  detail: Row;
  step: Step;
  /** Why it cannot be done, of a row that stands against it. */
  against: (current: Row) => string | null;
}

/** What happens to doors, counters and parts in their life, beyond a change of fields. */
@Injectable()
export class FleetVerbs {
  constructor(
    @Inject(Reader) private readonly reader: Reader,
    @Inject(Writer) private readonly writer: Writer,
  ) {}

  setState(caller: Caller, id: string, version: Version, { state, reason }: DoorSetState): Promise<Row> {
    return this.moveDoor(caller, id, version, state, reason, 'door-state-set');
  }

  decommission(caller: Caller, id: string, version: Version, reason: string): Promise<Row> {
    return this.moveDoor(caller, id, version, 'decommissioned', reason, 'door-decommissioned');
  }

  private moveDoor(caller: Caller, id: string, version: Version, state: DoorState, reason: string, action: string): Promise<Row> {
    const inDatabase = state.replaceAll('-', '_') as 'in_service' | 'out_of_service' | 'decommissioned';
    return this.run(caller, id, version, {
      definition: doors,
      action,
      detail: { state, reason },
      against: (door) => (door['state'] === 'decommissioned' ? 'This door is decommissioned: that is for good.' : null),
      step: async (db, where) => {
        if (state === 'in-service') await requireNothingUnsafe(db, where.id);
        const data = { state: inDatabase, stateReason: reason, stateSince: new Date(), version: { increment: 1 } };
        return (await db.door.updateMany({ where: { ...where, state: { not: 'decommissioned' } }, data })).count;
      },
    });
  }

  removeCounter(caller: Caller, id: string, version: Version, { at }: CounterRemove): Promise<Row> {
    return this.run(caller, id, version, {
      definition: counters,
      action: 'counter-removed',
      detail: { at },
      against: (counter) => removedBefore('counter', counter, at),
      step: async (db, where) => {
        const data = { removedAt: new Date(at), version: { increment: 1 } };
        return (await db.counter.updateMany({ where: { ...where, removedAt: null }, data })).count;
      },
    });
  }

  removePart(caller: Caller, id: string, version: Version, given: FittedPartRemove): Promise<Row> {
    const { at, cycles, reason, note } = given;
    return this.run(caller, id, version, {
      definition: fittedParts,
      action: 'fitted-part-removed',
      detail: { ...given },
      against: (part) => removedBefore('part', part, at),
      step: async (db, where) => {
        const data = {
          removedAt: new Date(at),
          removedCycles: cycles == null ? null : BigInt(cycles),
          removalReason: reason.replaceAll('-', '_') as 'failed',
          ...(note == null ? {} : { note }),
          version: { increment: 1 },
        };
        return (await db.fittedPart.updateMany({ where: { ...where, removedAt: null }, data })).count;
      },
    });
  }

  private async run(caller: Caller, id: string, version: Version, verb: Verb): Promise<Row> {
    const { definition } = verb;
    const current = await this.reader.one(definition, caller, id);
    const against = verb.against(current);
    if (against !== null) throw new Refusal('conflict', against);
    const done = await this.writer.inCompany(caller.context, async (db) => {
      if ((await verb.step(db, version === null ? { id } : { id, version })) === 0) return false;
      await this.note(db, caller.context, verb, id, current);
      return true;
    });
    // Somebody else was between our look and our step.
    if (!done) throw stale(await this.reader.one(definition, caller, id));
    return this.reader.one(definition, caller, id);
  }

  private async note(db: CompanyDb, context: CompanyContext, verb: Verb, id: string, current: Row): Promise<void> {
    const { action, detail, definition } = verb;
    await writeLedger(db, context, { action, subjectKind: definition.subject, subjectId: id, detail });
    await reprojectDoor(db, context, (current['doorId'] ?? id) as string);
    if (definition === fittedParts) await refitKindOfPart(db, context, id);
  }
}

/** Held against work on the door that is under way: its findings are looked at under the door's lock. */
async function requireNothingUnsafe(db: CompanyDb, doorId: string): Promise<void> {
  await db.$queryRaw`SELECT id FROM door WHERE id = ${doorId}::uuid FOR NO KEY UPDATE`;
  const open = await db.finding.count({ where: { doorId, severity: 'unsafe', clearedAt: null } });
  if (open > 0) throw new Refusal('conflict', 'An unsafe finding is open on this door: it comes back into service when a retest is passed.');
}

function removedBefore(what: string, current: Row, at: string): string | null {
  if (current['removedAt'] !== null) return `This ${what} is removed already.`;
  if (new Date(at) < new Date(current['fittedAt'] as string)) {
    throw invalidField('at', `the ${what} was fitted only at ${current['fittedAt'] as string}`);
  }
  return null;
}
