import type { QueuePayload } from '@lintel/queue';
import { projectDoors } from '@lintel/store';
import type { JobCall } from '../call.js';
import { notComputed } from './projectChunk.js';

/** Projects one door, soon after something about it changed. */
export async function projectDoorJob(call: JobCall, { doorId }: QueuePayload<'project-door'>): Promise<void> {
  await call.book.progress(0, 1);
  const result = await projectDoors(call.store, call.context, { doorIds: [doorId] }, { now: new Date() });
  if (result.failed.length > 0) throw new Error(notComputed(result));
}
