export { doorFaults } from './doorFaults.js';
export { faultSummary } from './faultSummary.js';
export { faultCourse, faultTrends } from './faultTrends.js';
export { ingestFaults } from './ingestFaults.js';
export type { IngestFaultsOptions } from './ingestFaults.js';
