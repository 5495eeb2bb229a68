import {
  doorType, doorTypeChange, doorTypeCreate, doorTypeList, position, positionChange, positionCreate, positionList, positionRules,
} from '@lintel/contract';
import { whole } from '../platform/resource/codecs.js';
import type { WriteDefinition } from '../platform/resource/definition.js';
import { refitKind, reprojectCompany } from './reproject.js';

const room = 'fleet';

export const doorTypes: WriteDefinition = {
  path: 'door-types', room, resource: 'door-types', subject: 'door-type', view: 'door_type_list', record: doorType,
  list: doorTypeList, search: ['name', 'notes'],
  model: 'doorType',
  create: { schema: doorTypeCreate },
  change: { schema: doorTypeChange },
  archive: {
    async usedBy(db, doorTypeId) {
      const doors = await db.door.count({ where: { doorTypeId, state: { not: 'decommissioned' } } });
      return doors > 0 ? `${doors} doors are still of this type.` : null;
    },
  },
  async after(db, context, { given }) {
    // The shortest cycle decides which readings are faster than the door can move.
    if ('minCycleSeconds' in given) await reprojectCompany(db, context);
  },
};

export const positions: WriteDefinition = {
  path: 'positions', room, resource: 'positions', subject: 'position', view: 'position_list', record: position,
  list: positionList, search: ['name', 'kind', 'doorTypeName'],
  model: 'position',
  codecs: { b10Cycles: whole, plannedCost: whole, failureCost: whole, b10dCycles: whole },
  create: { schema: positionCreate },
  change: { schema: positionChange, rules: positionRules },
  archive: {
    async usedBy(db, positionId) {
      const parts = await db.fittedPart.count({ where: { positionId, removedAt: null } });
      return parts > 0 ? `${parts} fitted parts are still in this position: remove those first.` : null;
    },
  },
  async after(db, context, { id, given }) {
    const rating = ['b10Cycles', 'b10Months', 'lifeShape', 'shapeSpread', 'ratingSpread'];
    if (!rating.some((field) => field in given)) return;
    await reprojectCompany(db, context);
    const { kind } = await db.position.findFirstOrThrow({ where: { id }, select: { kind: true } });
    await refitKind(db, context, kind);
  },
};
