import { createReadStream } from 'node:fs';
import { open } from 'node:fs/promises';
import { basename } from 'node:path';
import type { ImportKind } from '@lintel/contract';
import { ImportFileError, inspectImportFile, SAMPLE_BYTES, type InspectedFile } from '@lintel/store';
import { InputError } from '../inputError.js';
import { unreadable } from '../options.js';

export interface LocalFile extends InspectedFile {
  name: string;
  sizeBytes: number;
  open: () => AsyncIterable<Buffer>;
}

/** Looks at the beginning of a file on this machine. @throws InputError naming the file, if it is no CSV file. */
export async function inspectLocalFile(kind: ImportKind, file: string): Promise<LocalFile> {
  let sample: Buffer;
  let sizeBytes: number;
  try {
    const handle = await open(file, 'r');
    try {
      const { buffer, bytesRead } = await handle.read(Buffer.alloc(SAMPLE_BYTES), 0, SAMPLE_BYTES, 0);
      sample = buffer.subarray(0, bytesRead);
      sizeBytes = (await handle.stat()).size;
    } finally {
      await handle.close();
    }
  } catch (error) {
    throw unreadable(file, error);
  }
  try {
    const inspected = inspectImportFile(kind, sample, sizeBytes <= sample.length);
    return { ...inspected, name: basename(file), sizeBytes, open: () => createReadStream(file) as AsyncIterable<Buffer> };
  } catch (error) {
    if (error instanceof ImportFileError) throw new InputError(`${file}: ${error.message}`);
    throw error;
  }
}
