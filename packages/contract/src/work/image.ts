import { z } from 'zod';
import { id, instant, instantGiven } from '../shared/fields.js';
import { imageKind, imageType } from './words.js';

/**
 * What is said of an image that is sent as the body of the request. `id` is made on the device: sent again, it changes nothing.
 * It belongs to an order, or to a door where there is none.
 */
export const imageUpload = z.strictObject({
  id,
  orderId: id.optional(),
  doorId: id.optional(),
  kind: imageKind.default('photo'),
  stepId: z.string().min(1).max(120).optional(),
  takenAt: instantGiven,
}).meta({ id: 'ImageUpload' });
export type ImageUpload = z.infer<typeof imageUpload>;

/** An image without its bytes; those are at /work-images/<id>. */
export const workImage = z.object({
  id,
  doorId: id,
  workOrderId: id.nullable(),
  stepId: z.string().nullable(),
  kind: imageKind,
  mediaType: imageType,
  width: z.int(),
  height: z.int(),
  byteCount: z.int(),
  /** Of the bytes, hexadecimal. */
  sha256: z.string(),
  /** By the device's clock. */
  takenAt: instant,
  receivedAt: instant,
  accountId: id,
  accountName: z.string().nullable(),
}).meta({ id: 'WorkImage' });
export type WorkImage = z.infer<typeof workImage>;
