import type { QueuePayload } from '@lintel/queue';
import { projectDoors } from '@lintel/store';
import type { ProjectionResult } from '@lintel/store';
import type { JobCall } from '../call.js';

export const partOf = ({ from, to }: { from: string; to: string }): string => `${from}..${to}`;

/** Projects the doors of one piece. */
export async function projectChunkJob(call: JobCall, { from, to }: QueuePayload<'project-chunk'>): Promise<void> {
  if ((await call.book.partsDone()).has(partOf({ from, to })) || (await call.book.isCancelled())) return;
  const result = await projectDoors(call.store, call.context, { from, to }, { now: new Date() });
  if (result.failed.length > 0) await call.book.addNote(notComputed(result));
  await call.book.partDone(partOf({ from, to }), result.projected + result.decommissioned + result.failed.length);
}

/** One sentence on the doors that could not be computed. */
export function notComputed({ failed }: ProjectionResult): string {
  const [first] = failed;
  return `${failed.length} ${failed.length === 1 ? 'door' : 'doors'} could not be computed, e.g. ${first?.doorId}: ${first?.reason}`;
}
