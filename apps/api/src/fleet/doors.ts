import {
  counter, counterChange, counterCreate, counterList, door, doorChange, doorCreate, doorList, fittedPart, fittedPartChange,
  fittedPartCreate, fittedPartList, type DoorCreate,
} from '@lintel/contract';
import { addDoor, type CompanyDb } from '@lintel/store';
import { date, instant, whole, word } from '../platform/resource/codecs.js';
import type { AfterWrite, WriteDefinition } from '../platform/resource/definition.js';
import { invalidField } from '../platform/refusal.js';
import { requireLive } from './places.js';
import { refitKindOfPart, reprojectDoor } from './reproject.js';

const room = 'fleet';

export const doors: WriteDefinition = {
  path: 'doors', room, resource: 'doors', subject: 'door', view: 'door_list', record: door, list: doorList,
  search: ['name', 'serial'],
  filterBy: { state: { column: 'stateWord' }, condition: { column: 'conditionWord', absent: 'unknown' } },
  model: 'door',
  codecs: { installedOn: date, state: word },
  create: {
    schema: doorCreate,
    async act(db, context, given) {
      await requireLive(db, given);
      return addDoor(db, context, given as unknown as DoorCreate);
    },
  },
  change: { schema: doorChange },
  after: (db, context, { id }) => reprojectDoor(db, context, id),
};

/** A counter or part was made or changed: its door is projected anew. */
const ofCounter: AfterWrite = async (db, context, { id }) => {
  const row = await db.counter.findFirst({ where: { id }, select: { doorId: true } });
  if (row) await reprojectDoor(db, context, row.doorId);
};
const ofPart: AfterWrite = async (db, context, { id }) => {
  const row = await db.fittedPart.findFirst({ where: { id }, select: { doorId: true } });
  if (row) await reprojectDoor(db, context, row.doorId);
  await refitKindOfPart(db, context, id);
};

export const counters: WriteDefinition = {
  path: 'counters', room, resource: 'counters', subject: 'counter', view: 'counter_list', record: counter, list: counterList,
  search: ['name'],
  model: 'counter',
  codecs: { fittedAt: instant, removedAt: instant, modulus: whole, startCycles: whole, startValue: whole },
  create: { schema: counterCreate },
  change: { schema: counterChange },
  after: ofCounter,
};

export const fittedParts: WriteDefinition = {
  path: 'fitted-parts', room, resource: 'fitted-parts', subject: 'fitted-part', view: 'fitted_part_list', record: fittedPart,
  list: fittedPartList, search: ['serial', 'positionName', 'doorName'],
  filterBy: { condition: { column: 'conditionWord', absent: 'unknown' } },
  model: 'fittedPart',
  codecs: { fittedAt: instant, fittedCycles: whole, ageAtFitting: whole },
  create: { schema: fittedPartCreate },
  change: { schema: fittedPartChange },
  async after(db, context, change) {
    if ('positionId' in change.given) await requirePositionOfType(db, change.given);
    await ofPart(db, context, change);
  },
};

async function requirePositionOfType(db: CompanyDb, given: Record<string, unknown>): Promise<void> {
  const door = await db.door.findFirst({ where: { id: given['doorId'] as string }, select: { doorTypeId: true } });
  const position = await db.position.findFirst({
    where: { id: given['positionId'] as string, archivedAt: null },
    select: { doorTypeId: true },
  });
  if (door === null || position === null || position.doorTypeId !== door.doorTypeId) {
    throw invalidField('positionId', 'is not a position of this door\'s type');
  }
}
