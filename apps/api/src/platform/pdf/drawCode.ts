import QRCode from 'qrcode';

/** Modules of white around a code, by ISO/IEC 18004. */
const QUIET = 4;

/** Draws a QR code of a text, dark on white with its quiet zone, in a square. */
export function drawCode(doc: PDFKit.PDFDocument, text: string, at: { x: number; y: number; size: number }): void {
  // M survives a crease; more would make the modules too small for a telephone.
  const { modules } = QRCode.create(text, { errorCorrectionLevel: 'M' });
  const step = at.size / (modules.size + 2 * QUIET);
  doc.rect(at.x, at.y, at.size, at.size).fill('#ffffff');
  for (let row = 0; row < modules.size; row += 1) {
    // A run of dark modules as one bar: no hairlines between them.
    for (let from = 0; from < modules.size; from += 1) {
      if (!modules.get(row, from)) continue;
      let to = from;
      while (to < modules.size && modules.get(row, to)) to += 1;
      doc.rect(at.x + (QUIET + from) * step, at.y + (QUIET + row) * step, (to - from) * step, step * 1.02);
      from = to;
    }
  }
  doc.fill('#000000');
}
