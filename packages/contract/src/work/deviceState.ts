import type { DeviceCheck } from '@lintel/engine';
import { z } from 'zod';
import { counter } from '../fleet/counter.js';
import { door } from '../fleet/door.js';
import { doorType } from '../fleet/doorType.js';
import { fittedPart } from '../fleet/fittedPart.js';
import { partKind } from '../fleet/partKinds.js';
import { position } from '../fleet/position.js';
import { site } from '../fleet/site.js';
import { role } from '../people/roles.js';
import { id, instant } from '../shared/fields.js';
import { finding } from './finding.js';
import { manual } from './manual.js';
import { wholeWorkOrder } from './order.js';
import { stepGauge } from './step.js';

/** `since`: the cursor of the last answer; left out: everything. */
export const deviceStateQuery = z.strictObject({
  since: z.string().max(60).optional(),
  days: z.coerce.number<string>().int().min(1).max(31).default(7),
}).meta({ id: 'DeviceStateQuery' });
export type DeviceStateQuery = z.infer<typeof deviceStateQuery>;

export const doorEvent = z.object({
  kind: z.enum(['reading', 'completion', 'part-fitted', 'part-removed', 'fault', 'finding']),
  at: instant,
  /** In the company's own words: the value, the task, the part, the fault. */
  text: z.string(),
}).meta({ id: 'DoorEvent' });

/** A door as a technician needs it without a signal. */
export const deviceDoor = z.object({
  door,
  site,
  doorType,
  positions: z.array(position),
  parts: z.array(fittedPart),
  counters: z.array(counter.extend({ lastValue: z.int().nullable(), lastReadingAt: instant.nullable() })),
  /** The last 30, newest first. */
  history: z.array(doorEvent),
  /** Open ones. */
  findings: z.array(finding),
}).meta({ id: 'DeviceDoor' });
export type DeviceDoor = z.infer<typeof deviceDoor>;

/** A part that the company keeps, to be known by the code on it or its box. */
export const deviceStockPart = z.object({ id, code: z.string(), kind: partKind, name: z.string() }).meta({ id: 'DeviceStockPart' });
export type DeviceStockPart = z.infer<typeof deviceStockPart>;

export const deviceInstrument = z.object({ id, name: z.string(), serial: z.string().nullable(), gauge: stepGauge }).meta({ id: 'DeviceInstrument' });

/** The engine's table of device checks, whole. */
export const deviceCheckRow = z.looseObject({ id: z.string(), device: z.string(), kind: z.enum(['function', 'diagnostic']) })
  .meta({ id: 'DeviceCheck' }) as unknown as z.ZodType<DeviceCheck>;

/** What a device holds. With `reset` it is everything: forget what was there, but never a command that was not sent. */
export const deviceState = z.object({
  cursor: z.string(),
  serverTime: instant,
  reset: z.boolean(),
  orders: z.array(wholeWorkOrder),
  /** Orders that are no longer this technician's, or no longer in the time asked for. */
  gone: z.array(id),
  doors: z.array(deviceDoor),
  manuals: z.array(manual),
  instruments: z.array(deviceInstrument),
  stockParts: z.array(deviceStockPart),
  deviceChecks: z.array(deviceCheckRow),
  me: z.object({ id, name: z.string(), role }),
}).meta({ id: 'DeviceState' });
export type DeviceState = z.infer<typeof deviceState>;
