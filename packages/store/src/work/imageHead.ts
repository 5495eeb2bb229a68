import { imageSize } from 'image-size';

export interface ImageHead {
  mediaType: 'image/jpeg' | 'image/png' | 'image/webp';
  width: number;
  height: number;
}

/** Begins of files, by their formats' specifications: JPEG (ISO/IEC 10918-1), PNG (ISO/IEC 15948), WebP (RFC 9649). */
const beginnings: readonly { mediaType: ImageHead['mediaType']; is: (bytes: Buffer) => boolean }[] = [
  { mediaType: 'image/jpeg', is: (bytes) => bytes.subarray(0, 3).equals(Buffer.from([0xff, 0xd8, 0xff])) },
  { mediaType: 'image/png', is: (bytes) => bytes.subarray(0, 8).equals(Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a])) },
  { mediaType: 'image/webp', is: (bytes) => bytes.toString('latin1', 0, 4) === 'RIFF' && bytes.toString('latin1', 8, 12) === 'WEBP' },
];

/** What an image is by its own bytes; null for what is none of these kinds, or cannot be read. */
export function imageHead(bytes: Buffer): ImageHead | null {
  const found = beginnings.find(({ is }) => is(bytes));
  if (found === undefined) return null;
  try {
    const { width, height } = imageSize(bytes);
    return width > 0 && height > 0 ? { mediaType: found.mediaType, width, height } : null;
  } catch {
    return null;
  }
}
