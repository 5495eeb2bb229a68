import { chainFaultText } from '@lintel/contract';
import { BadJob } from '@lintel/queue';
import { checkLedgerNoted } from '@lintel/store';
import type { JobCall } from '../call.js';

/** Walks the company's chain. Where an entry does not fit the job fails, at once: another attempt would find the same. */
export async function checkLedgerJob(call: JobCall): Promise<void> {
  const { entries, fault } = await checkLedgerNoted(call.store, call.context);
  await call.book.progress(entries, entries);
  if (fault === null) return;
  call.log.error({ fault }, 'the ledger does not hold');
  throw new BadJob(`The ledger does not hold. ${chainFaultText(fault)}`);
}
