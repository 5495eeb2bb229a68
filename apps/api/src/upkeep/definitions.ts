import {
  completion, completionCreate, completionList, dueItem, dueItemList, plan, planChange, planCreate, planList, task, taskChange,
  taskCreate, taskList, taskRules,
} from '@lintel/contract';
import { newId, type CompanyDb } from '@lintel/store';
import { date, instant, toPrisma, whole } from '../platform/resource/codecs.js';
import type { AfterWrite, ReadDefinition, WriteDefinition } from '../platform/resource/definition.js';
import { invalidField } from '../platform/refusal.js';
import { reprojectCompany, reprojectDoor } from '../fleet/reproject.js';

const room = 'upkeep';

const reproject: AfterWrite = (db, context) => reprojectCompany(db, context);

export const plans: WriteDefinition = {
  path: 'plans', room, resource: 'plans', subject: 'plan', view: 'plan_list', record: plan, list: planList, search: ['name'],
  model: 'plan',
  create: { schema: planCreate },
  change: { schema: planChange },
  archive: { usedBy: async () => null },
  after: reproject,
};

export const tasks: WriteDefinition = {
  path: 'tasks', room, resource: 'tasks', subject: 'task', view: 'task_list', record: task, list: taskList,
  search: ['name', 'planName'],
  model: 'task',
  codecs: { intervalCycles: whole, fixedFrom: date },
  create: { schema: taskCreate },
  change: { schema: taskChange, rules: taskRules },
  archive: { usedBy: async () => null },
  after: reproject,
};

/** Clocks of tablets are not exact. */
const clockGraceMs = 300_000;
const codecs = { doneAt: instant, lifetimeCycles: whole };

/** A completion is a fact: made, never changed. */
export const completions: WriteDefinition = {
  path: 'completions', room, resource: 'completions', subject: 'completion', view: 'completion_list', record: completion,
  list: completionList, search: ['doorName', 'taskName'],
  model: 'completion',
  codecs,
  create: {
    schema: completionCreate,
    async act(db, context, given) {
      await requireTaskOfDoor(db, given);
      const doneAt = new Date(given['doneAt'] as string);
      if (doneAt.getTime() > Date.now() + clockGraceMs) throw invalidField('doneAt', 'lies in the future');
      const { companyId, accountId } = context;
      const id = newId();
      await db.completion.create({ data: { ...toPrisma(given, codecs), companyId, id, accountId } as never });
      return id;
    },
  },
  async after(db, context, { given }) {
    await reprojectDoor(db, context, given['doorId'] as string);
  },
};

async function requireTaskOfDoor(db: CompanyDb, given: Record<string, unknown>): Promise<void> {
  const door = await db.door.findFirst({ where: { id: given['doorId'] as string }, select: { doorTypeId: true } });
  const found = await db.task.findFirst({
    where: { id: given['taskId'] as string },
    select: { plan: { select: { doorTypeId: true } } },
  });
  if (door === null) throw invalidField('doorId', 'there is no such door here');
  if (found === null || found.plan.doorTypeId !== door.doorTypeId) {
    throw invalidField('taskId', 'is not a task for doors of this type');
  }
}

export const dueItems: ReadDefinition = {
  path: 'due-items', room, resource: 'due-items', subject: 'due-item', view: 'due_item_list', record: dueItem,
  list: dueItemList, search: ['doorName', 'siteName', 'taskName'], ties: ['doorId', 'taskId'],
};
