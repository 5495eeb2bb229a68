import type { QueuePayload } from '@lintel/queue';
import { importChunks, runImport } from '@lintel/store';
import { UnrecoverableError } from 'bullmq';
import { Cancelled } from '../call.js';
import type { JobCall } from '../call.js';

/** How often a cancellation is looked for and progress is written, milliseconds. */
const LOOK_MS = 1_000;

/** Brings an uploaded file in; what became of its lines is kept at the import itself. */
export async function importFileJob(call: JobCall, { importId }: QueuePayload<'import-file'>): Promise<void> {
  let cancelled = await call.book.isCancelled();
  let lines = 0;
  const timer = setInterval(() => {
    const looked = call.book.progress(lines, lines).then(() => call.book.isCancelled());
    looked.then(
      (answer) => {
        cancelled = answer;
      },
      (error: unknown) => call.log.warn({ err: error, importId }, 'progress of an import not written'),
    );
  }, LOOK_MS);
  try {
    const result = await runImport(call.store, call.context, {
      importId,
      open: () => importChunks(call.store, call.context, importId),
      onProgress: (progress) => {
        lines = progress.lines;
      },
      isCancelled: () => cancelled,
    });
    await call.book.progress(lines, lines);
    if (result.state === 'cancelled') throw new Cancelled();
    if (result.state === 'failed') throw new UnrecoverableError(result.error ?? 'the import failed');
  } finally {
    clearInterval(timer);
  }
}
