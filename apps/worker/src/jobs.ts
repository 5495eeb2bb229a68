import { JobRegistry } from '@lintel/queue';
import type { JobCall } from './call.js';
import { importFileJob } from './duty/importFile.js';
import { projectChunkJob } from './duty/projectChunk.js';
import { projectCompanyJob } from './duty/projectCompany.js';
import { projectDoorJob } from './duty/projectDoor.js';
import { checkLedgerJob } from './ledger/checkLedger.js';
import { planRoutesJob } from './routes/planRoutes.js';
import { sweepInspectionsJob } from './upkeep/sweepInspections.js';
import { refitPoolJob } from './wear/refitPool.js';

/** Who does what. */
export function registerJobs(): JobRegistry<JobCall> {
  return new JobRegistry<JobCall>()
    .handle('project-company', projectCompanyJob)
    .handle('project-chunk', projectChunkJob)
    .handle('project-door', projectDoorJob)
    .handle('import-file', importFileJob)
    .handle('sweep-inspections', sweepInspectionsJob)
    .handle('refit-pool', refitPoolJob)
    .handle('check-ledger', checkLedgerJob)
    .handle('plan-routes', planRoutesJob)
    .complete();
}
