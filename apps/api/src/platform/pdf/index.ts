export { Paper } from './paper.js';
export type { PaperColumn, PaperOptions, PaperRow } from './paper.js';
