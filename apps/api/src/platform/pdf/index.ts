export { drawCode } from './drawCode.js';
export { FONTS } from './fonts.js';
export { Paper } from './paper.js';
export type { PaperColumn, PaperOptions, PaperRow } from './paper.js';
export { wrapText } from './wrap.js';
