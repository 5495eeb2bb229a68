import type { QueuePayload } from '@lintel/queue';
import { noteOverdueInspections } from '@lintel/store';
import type { JobCall } from '../call.js';

/** Notes the safety inspections of a site that went overdue by the given day. */
export async function sweepInspectionsJob(call: JobCall, { siteId, on }: QueuePayload<'sweep-inspections'>): Promise<void> {
  const noted = await noteOverdueInspections(call.store, call.context, siteId, on);
  if (noted > 0) call.log.warn({ siteId, on, noted }, 'safety inspections went overdue');
}
