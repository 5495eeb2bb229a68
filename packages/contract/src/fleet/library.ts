import { z } from 'zod';
import { name } from '../shared/fields.js';
import { planCreate } from '../upkeep/plan.js';
import { taskFields } from '../upkeep/task.js';
import { doorKind, doorTypeCreate } from './doorType.js';
import { positionFields } from './position.js';

/**
 * One generic door type to start from: the type, its positions with default life ratings, and its default maintenance
 * plan. Every rating and interval names its source, here 'default, replace with the maker's'.
 */
export const libraryDoorType = z.object({
  kind: doorKind,
  doorType: doorTypeCreate,
  positions: z.array(z.strictObject(positionFields).omit({ doorTypeId: true })),
  plans: z.array(z.object({
    plan: planCreate.omit({ doorTypeId: true }),
    tasks: z.array(z.strictObject(taskFields).omit({ planId: true })),
  })),
}).meta({ id: 'LibraryDoorType' });
export type LibraryDoorType = z.infer<typeof libraryDoorType>;

export const doorTypeLibrary = z.object({ items: z.array(libraryDoorType) }).meta({ id: 'DoorTypeLibrary' });

/** Takes a type over into the company; another name where the library's own is taken. */
export const doorTypeFromLibrary = z.strictObject({ kind: doorKind, name: name.optional() })
  .meta({ id: 'DoorTypeFromLibrary' });
export type DoorTypeFromLibrary = z.infer<typeof doorTypeFromLibrary>;
