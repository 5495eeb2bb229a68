export { createApi } from './main.js';
export type { ApiOptions } from './platform/options.js';
export { KnownRoutes } from './platform/knownRoutes.js';
export { serve } from './server.js';
export { apiOptionsFrom } from './platform/environment.js';
export { Paper } from './platform/pdf/index.js';
