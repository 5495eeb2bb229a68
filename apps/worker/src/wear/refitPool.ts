import type { QueuePayload } from '@lintel/queue';
import { refitPool } from '@lintel/store';
import type { JobCall } from '../call.js';

/** Learns anew from the lives of one kind of part. */
export async function refitPoolJob(call: JobCall, { kind }: QueuePayload<'refit-pool'>): Promise<void> {
  const { models, made } = await refitPool(call.store, call.context, kind, new Date());
  await call.book.progress(models, models);
  call.log.info({ kind, models, made }, 'wear models fitted');
}
