import type { Database, KeptImage } from './database.js';
import { inOne } from './inOne.js';
import { newId } from './newId.js';

/** Longest side of a photograph as it is kept, pixels; its quality as JPEG. */
export const longestSide = 1600;
const quality = 0.82;

/** Size within `longest`, in proportion, never enlarged. */
export function fitted(width: number, height: number, longest = longestSide): { width: number; height: number } {
  const share = Math.min(1, longest / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * share)), height: Math.max(1, Math.round(height * share)) };
}

export class NotAPicture extends Error {
  constructor() {
    super('This file is no picture that the device can read. Take the photograph again, as JPEG or PNG.');
    this.name = 'NotAPicture';
  }
}

/**
 * A photograph, scaled down on the device. Of a large one the browser decodes straight into the smaller size where it can, so
 * that its pixels never stand in memory in full.
 * @throws NotAPicture
 */
export async function scaledPhoto(file: Blob): Promise<{ blob: Blob; width: number; height: number }> {
  const size = await sizeOf(file);
  const { width, height } = fitted(size.width, size.height);
  const bitmap = await createImageBitmap(file, { resizeWidth: width, resizeHeight: height, resizeQuality: 'high' }).catch(() => {
    throw new NotAPicture();
  });
  const canvas = document.createElement('canvas');
  canvas.width = bitmap.width;
  canvas.height = bitmap.height;
  canvas.getContext('2d')!.drawImage(bitmap, 0, 0);
  bitmap.close();
  const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/jpeg', quality));
  canvas.width = 0;
  if (!blob) throw new NotAPicture();
  return { blob, width, height };
}

/** The size as it is shown, with the camera's turn applied; the browser reads the head of the file for it. */
async function sizeOf(file: Blob): Promise<{ width: number; height: number }> {
  const address = URL.createObjectURL(file);
  try {
    const image = new Image();
    image.src = address;
    await new Promise<void>((done, fail) => {
      image.addEventListener('load', () => done(), { once: true });
      image.addEventListener('error', () => fail(new NotAPicture()), { once: true });
    });
    if (image.naturalWidth === 0) throw new NotAPicture();
    return { width: image.naturalWidth, height: image.naturalHeight };
  } finally {
    URL.revokeObjectURL(address);
  }
}

export interface Capture {
  orderId: string;
  stepId: string | null;
  kind: KeptImage['kind'];
  mediaType: KeptImage['mediaType'];
  blob: Blob;
  width: number;
  height: number;
}

export function captured(capture: Capture, now = Date.now()): KeptImage {
  return { ...capture, id: newId(now), takenAt: new Date(now).toISOString(), sent: false };
}

/** @throws StorageFull; what was captured before stays. */
export function keepImage(database: Database, image: KeptImage): Promise<void> {
  return inOne(database, ['images'], async (writing) => {
    await writing.objectStore('images').put(image);
  });
}

/** Takes a photograph back that no command names yet. */
export async function dropImage(database: Database, id: string): Promise<void> {
  await database.delete('images', id);
}
