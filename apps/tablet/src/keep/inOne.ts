import type { IDBPTransaction } from 'idb';
import { type Database, onDisk, type ShelfName, type Shelves } from './database.js';
import { keeping } from './storageFull.js';

export type Writing = IDBPTransaction<Shelves, ShelfName[], 'readwrite'>;

/**
 * Writes that belong together: all of them are on the disk when this answers, or none is. An error half-way undoes what was
 * written before it; without that the browser would commit the half. `write` awaits nothing but the database.
 * @throws StorageFull
 */
export function inOne<T>(database: Database, shelves: ShelfName[], write: (writing: Writing) => Promise<T>): Promise<T> {
  return keeping(async () => {
    const writing = database.transaction(shelves, 'readwrite', onDisk) as Writing;
    // Looked at below; here only so that an abort is not an unhandled one while something else is awaited.
    writing.done.catch(() => undefined);
    try {
      const outcome = await write(writing);
      await writing.done;
      return outcome;
    } catch (error) {
      abort(writing);
      throw writing.error ?? error;
    }
  });
}

function abort(writing: Writing): void {
  try {
    writing.abort();
  } catch {
    // It has been aborted already, by the error itself.
  }
}
