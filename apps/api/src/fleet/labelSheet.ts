import { labelSizesMm, type LabelPaper, type LabelSize } from '@lintel/contract';
import PDFDocument from 'pdfkit';
import { drawCode, FONTS, wrapText } from '../platform/pdf/index.js';

/** What a door's label says. */
export interface DoorLabel {
  /** Absolute: where the code leads. */
  address: string;
  name: string;
  siteName: string;
  serial: string | null;
}

const POINTS_PER_MM = 72 / 25.4;
const papersMm: Record<LabelPaper, { widthMm: number; heightMm: number }> = {
  a4: { widthMm: 210, heightMm: 297 },
  'us-letter': { widthMm: 215.9, heightMm: 279.4 },
};
/** Printers leave an edge white; between labels there is room for the knife. */
const EDGE_MM = 10;
const GAP_MM = 3;
const PAD_MM = 3;
const INK = '#14232e';
const CUT = '#c9d7de';
const LEADING = 1.25;
const SIZE = {
  small: { name: 11, text: 7, note: 0 },
  medium: { name: 16, text: 10, note: 6.5 },
  large: { name: 26, text: 16, note: 9 },
} as const satisfies Record<LabelSize, { name: number; text: number; note: number }>;
const CAUTION = 'Before any work: isolate, lock out, prove dead.';

const points = (mm: number): number => mm * POINTS_PER_MM;

/** Columns and rows of labels on a sheet. */
export function labelGrid(paper: LabelPaper, size: LabelSize): { columns: number; rows: number } {
  const fitting = (sheetMm: number, labelMm: number) => Math.floor((sheetMm - 2 * EDGE_MM + GAP_MM) / (labelMm + GAP_MM));
  const { widthMm, heightMm } = labelSizesMm[size];
  return { columns: fitting(papersMm[paper].widthMm, widthMm), rows: fitting(papersMm[paper].heightMm, heightMm) };
}

/** Sheets of labels to be cut out: the code, the door's name, its site and serial in plain words. O(labels). */
export async function labelSheet(labels: readonly DoorLabel[], paper: LabelPaper, size: LabelSize, at: Date): Promise<Buffer> {
  const sheet = papersMm[paper];
  const doc = new PDFDocument({
    size: [points(sheet.widthMm), points(sheet.heightMm)], margin: 0, autoFirstPage: false, font: FONTS.plain, lang: 'en', displayTitle: true,
    info: { Title: 'Door labels', CreationDate: at, Producer: 'Lintel', Creator: 'Lintel' },
  });
  const chunks: Buffer[] = [];
  const ended = new Promise<void>((resolve, reject) => {
    doc.on('data', (chunk: Buffer) => chunks.push(chunk)).on('end', () => resolve()).on('error', reject);
  });
  const { columns, rows } = labelGrid(paper, size);
  const { widthMm, heightMm } = labelSizesMm[size];
  const leftMm = (sheet.widthMm - columns * widthMm - (columns - 1) * GAP_MM) / 2;
  for (const [index, label] of labels.entries()) {
    const place = index % (columns * rows);
    if (place === 0) doc.addPage();
    const x = points(leftMm + (place % columns) * (widthMm + GAP_MM));
    const y = points(EDGE_MM + Math.floor(place / columns) * (heightMm + GAP_MM));
    drawLabel(doc, label, { x, y, width: points(widthMm), height: points(heightMm) }, size);
  }
  doc.end();
  await ended;
  return Buffer.concat(chunks);
}

interface Box {
  x: number;
  y: number;
  width: number;
  height: number;
}

function drawLabel(doc: PDFKit.PDFDocument, label: DoorLabel, { x, y, width, height }: Box, size: LabelSize): void {
  doc.rect(x, y, width, height).lineWidth(0.5).strokeColor(CUT).stroke();
  const pad = points(PAD_MM);
  const side = height - 2 * pad;
  drawCode(doc, label.address, { x: x + pad, y: y + pad, size: side });
  const left = x + 2 * pad + side;
  const room = x + width - pad - left;
  const { name, text, note } = SIZE[size];
  const bottom = y + height - pad;
  let top = y + pad;
  const put = (words: string, fontSize: number, bold: boolean, mostLines: number): void => {
    doc.font(bold ? FONTS.bold : FONTS.plain).fontSize(fontSize).fillColor(INK);
    for (const line of fitted(words, room, mostLines, (piece) => doc.widthOfString(piece))) {
      if (top + fontSize > bottom) return;
      doc.text(line, left, top, { lineBreak: false });
      top += fontSize * LEADING;
    }
  };
  put(label.name, name, true, 2);
  put(label.siteName, text, false, 2);
  put(label.serial === null ? 'No serial number' : `Serial ${label.serial}`, text, false, 2);
  if (note === 0) return;
  top = Math.max(top + note, bottom - 5 * note * LEADING);
  put(CAUTION, note, true, 2);
  put(label.address, note, false, 3);
}

/** The lines of a text, the last one cut with an ellipsis where there are more. */
function fitted(text: string, width: number, most: number, widthOf: (text: string) => number): string[] {
  const lines = wrapText(text, width, widthOf);
  if (lines.length <= most) return lines;
  let last = lines[most - 1] ?? '';
  while (last !== '' && widthOf(`${last}…`) > width) last = last.slice(0, -1);
  return [...lines.slice(0, most - 1), `${last}…`];
}
