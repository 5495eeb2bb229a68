import { setImmediate } from 'node:timers/promises';
import PDFDocument from 'pdfkit';
import { FONTS } from './fonts.js';
import { wrapText } from './wrap.js';

const MARGIN = 42;
const HEAD_GAP = 12;
const FOOT_HEIGHT = 30;
const CELL_PAD = 4;
const ROWS_A_TURN = 20;
const SIZE = { title: 15, heading: 11.5, text: 9, small: 7.5 } as const;
/** Line height over size. */
const LEADING = 1.3;
/** On paper: ink on white, and greys that survive a copier. */
const INK = '#14232e';
const SOFT = '#4a606e';
const LINE = '#c9d7de';
const SHADE = '#f1f6f8';
const WARN = '#b93a06';

export interface PaperOptions {
  /** On every page: what this is, and of what. The first line is the largest. */
  head: { title: string; lines: readonly string[] };
  /** On every page, beside the page's number. */
  foot: string;
  /** BCP 47. */
  language?: string;
  landscape?: boolean;
  /** When it was made, for the file's properties. */
  at: Date;
}

export interface PaperColumn {
  label: string;
  /** Share of the width. */
  share: number;
  align?: 'left' | 'right';
}

export interface PaperRow {
  cells: readonly string[];
  /** A word for it belongs into a cell as well: never colour alone. */
  marked?: boolean;
}

interface Style {
  bold?: boolean;
  size?: number;
  colour?: string;
  align?: 'left' | 'right';
}

/**
 * A printed document in A4: head and foot on every page, headings, texts, facts, notes, tables whose rows go over pages.
 * Blocks are put one below the other; each makes the pages it needs.
 */
export class Paper {
  /** For what the blocks do not offer (pictures, codes, curves): draw at `y` after `reserve`. */
  readonly doc: PDFKit.PDFDocument;
  private readonly chunks: Buffer[] = [];
  /** Widths of what was measured, for a size of one point: the same words come again and again. */
  private readonly widths = { plain: new Map<string, number>(), bold: new Map<string, number>() };
  private readonly ended: Promise<void>;
  private readonly top: number;
  y: number;

  constructor(private readonly options: PaperOptions) {
    const { head, at, language = 'en', landscape = false } = options;
    this.doc = new PDFDocument({
      size: 'A4', layout: landscape ? 'landscape' : 'portrait', margin: 0, bufferPages: true, autoFirstPage: false, font: FONTS.plain,
      lang: language, displayTitle: true, info: { Title: [head.title, ...head.lines].join(' · '), CreationDate: at, Producer: 'Lintel', Creator: 'Lintel' },
    });
    this.ended = new Promise((resolve, reject) => {
      this.doc.on('data', (chunk: Buffer) => this.chunks.push(chunk)).on('end', () => resolve()).on('error', reject);
    });
    this.doc.addPage();
    this.top = this.drawHead();
    this.y = this.top;
  }

  get left(): number {
    return MARGIN;
  }

  get width(): number {
    return this.doc.page.width - 2 * MARGIN;
  }

  private get bottom(): number {
    return this.doc.page.height - MARGIN - FOOT_HEIGHT;
  }

  /** Makes sure that so much height (points) is free on this page, on a new one where it is not. @returns where it begins. */
  reserve(height: number): number {
    if (this.y + height > this.bottom && this.y > this.top) this.newPage();
    return this.y;
  }

  newPage(): void {
    this.doc.addPage();
    this.y = this.drawHead();
  }

  heading(text: string): this {
    this.space(8);
    // Not alone at the end of a page.
    this.reserve(60);
    this.paragraph(text, { bold: true, size: SIZE.heading });
    return this.space(3);
  }

  text(text: string, style: { bold?: boolean; small?: boolean } = {}): this {
    this.paragraph(text, { bold: style.bold ?? false, size: style.small ? SIZE.small : SIZE.text, colour: style.small ? SOFT : INK });
    return this.space(4);
  }

  space(height: number): this {
    if (this.y > this.top) this.y += height;
    return this;
  }

  /** Names with their values, in as many columns as asked for. */
  facts(pairs: readonly (readonly [name: string, value: string])[], columns = 2): this {
    const cellWidth = this.width / columns;
    for (let from = 0; from < pairs.length; from += columns) {
      const cells = pairs.slice(from, from + columns).map(([name, value]) => ({
        name: this.wrap(name, cellWidth * 0.36 - CELL_PAD, { size: SIZE.text, colour: SOFT }),
        value: this.wrap(value === '' ? '–' : value, cellWidth * 0.64 - CELL_PAD, { size: SIZE.text }),
      }));
      const lines = Math.max(...cells.flatMap(({ name, value }) => [name.length, value.length]));
      for (let line = 0; line < lines; line += 1) {
        const y = this.reserve(SIZE.text * LEADING);
        for (const [index, { name, value }] of cells.entries()) {
          const x = MARGIN + index * cellWidth;
          this.line(name[line] ?? '', x, y, { size: SIZE.text, colour: SOFT });
          this.line(value[line] ?? '', x + cellWidth * 0.36, y, { size: SIZE.text });
        }
        this.y += SIZE.text * LEADING;
      }
      this.y += 2;
    }
    return this.space(4);
  }

  /** A framed text. `warning` has a heavier frame and says so in its title. */
  note(title: string, text: string, kind: 'plain' | 'warning' = 'plain'): this {
    const inner = this.width - 4 * CELL_PAD;
    const lines = [...this.wrap(title, inner, { bold: true }).map((line) => ({ line, bold: true })), ...this.wrap(text, inner).map((line) => ({ line, bold: false }))];
    const step = SIZE.text * LEADING;
    let rest = lines;
    while (rest.length > 0) {
      this.reserve(Math.min(rest.length, 4) * step + 4 * CELL_PAD);
      const fitting = Math.max(1, Math.min(rest.length, Math.floor((this.bottom - this.y - 4 * CELL_PAD) / step)));
      const height = fitting * step + 3 * CELL_PAD;
      const colour = kind === 'warning' ? WARN : LINE;
      this.doc.rect(MARGIN, this.y, this.width, height).lineWidth(kind === 'warning' ? 1.4 : 0.7).strokeColor(colour).stroke();
      for (const [index, { line, bold }] of rest.slice(0, fitting).entries()) {
        this.line(line, MARGIN + 2 * CELL_PAD, this.y + 1.5 * CELL_PAD + index * step, { bold });
      }
      this.y += height;
      rest = rest.slice(fitting);
    }
    return this.space(6);
  }

  /** A table; its column heads stand again on each page, and a row that is too long for a page goes on on the next. */
  table(columns: readonly PaperColumn[], rows: readonly PaperRow[]): this {
    const widths = this.beginTable(columns);
    for (const row of rows) this.tableRow(columns, widths, row);
    return this.space(6);
  }

  /** The same for many rows: others get their turn in between. */
  async longTable(columns: readonly PaperColumn[], rows: readonly PaperRow[]): Promise<void> {
    const widths = this.beginTable(columns);
    for (const [index, row] of rows.entries()) {
      if (index % ROWS_A_TURN === ROWS_A_TURN - 1) await setImmediate();
      this.tableRow(columns, widths, row);
    }
    this.space(6);
  }

  private beginTable(columns: readonly PaperColumn[]): number[] {
    const shares = columns.reduce((sum, { share }) => sum + share, 0);
    const widths = columns.map(({ share }) => (this.width * share) / shares);
    this.reserve(4 * SIZE.text * LEADING);
    this.tableHead(columns, widths);
    return widths;
  }

  private tableHead(columns: readonly PaperColumn[], widths: readonly number[]): void {
    const style = { bold: true, size: SIZE.small, colour: SOFT };
    const cells = columns.map(({ label }, index) => this.wrap(label, widths[index]! - 2 * CELL_PAD, style));
    const height = Math.max(...cells.map((lines) => lines.length)) * SIZE.small * LEADING + 2 * CELL_PAD;
    this.doc.rect(MARGIN, this.y, this.width, height).fill(SHADE);
    this.cells(columns, widths, cells, style);
    this.y += height;
    this.rule();
  }

  private tableRow(columns: readonly PaperColumn[], widths: readonly number[], { cells: texts, marked = false }: PaperRow): void {
    const style = { size: SIZE.text - 0.5, bold: marked };
    const step = style.size * LEADING;
    let cells = columns.map((_, index) => this.wrap(texts[index] ?? '', widths[index]! - 2 * CELL_PAD, style));
    for (;;) {
      const lines = Math.max(...cells.map((cell) => cell.length));
      const room = Math.floor((this.bottom - this.y - 2 * CELL_PAD) / step);
      // A row of a few lines stays whole; of a longer one, at least three lines stand on either page.
      if (room < Math.min(lines, lines <= 12 ? lines : 3)) {
        this.newPage();
        this.tableHead(columns, widths);
        if (lines <= 12) continue;
      }
      const here = Math.max(1, Math.min(lines, Math.floor((this.bottom - this.y - 2 * CELL_PAD) / step)));
      this.cells(columns, widths, cells.map((cell) => cell.slice(0, here)), style);
      this.y += here * step + 2 * CELL_PAD;
      this.rule();
      if (here >= lines) return;
      cells = cells.map((cell) => cell.slice(here));
      this.newPage();
      this.tableHead(columns, widths);
    }
  }

  private cells(columns: readonly PaperColumn[], widths: readonly number[], cells: readonly (readonly string[])[], style: Style): void {
    const step = (style.size ?? SIZE.text) * LEADING;
    let x = MARGIN;
    for (const [index, lines] of cells.entries()) {
      const width = widths[index]!;
      const align = columns[index]!.align ?? 'left';
      for (const [n, line] of lines.entries()) {
        const indent = align === 'right' ? width - 2 * CELL_PAD - this.widthOf(line, style) : 0;
        this.line(line, x + CELL_PAD + indent, this.y + CELL_PAD + n * step, style);
      }
      x += width;
    }
  }

  private rule(): void {
    this.doc.moveTo(MARGIN, this.y).lineTo(MARGIN + this.width, this.y).lineWidth(0.5).strokeColor(LINE).stroke();
  }

  private paragraph(text: string, style: Style): void {
    const step = (style.size ?? SIZE.text) * LEADING;
    for (const line of this.wrap(text, this.width, style)) {
      this.line(line, MARGIN, this.reserve(step), style);
      this.y += step;
    }
  }

  /** @returns where the page's content begins. */
  private drawHead(): number {
    const { title, lines } = this.options.head;
    let y = MARGIN;
    for (const line of this.wrap(title, this.width, { bold: true, size: SIZE.title })) {
      this.line(line, MARGIN, y, { bold: true, size: SIZE.title });
      y += SIZE.title * LEADING;
    }
    for (const line of lines.flatMap((given) => this.wrap(given, this.width))) {
      this.line(line, MARGIN, y, { colour: SOFT });
      y += SIZE.text * LEADING;
    }
    this.doc.moveTo(MARGIN, y + 4).lineTo(MARGIN + this.width, y + 4).lineWidth(1).strokeColor(INK).stroke();
    return y + 4 + HEAD_GAP;
  }

  private drawFoot(page: number, of: number): void {
    const number = `Page ${page} of ${of}`;
    const style = { size: SIZE.small, colour: SOFT };
    const lines = this.wrap(this.options.foot, this.width - this.widthOf(number, style) - 20, style).slice(0, 2);
    const y = this.bottom + FOOT_HEIGHT - 2 * SIZE.small * LEADING;
    for (const [index, line] of lines.entries()) this.line(line, MARGIN, y + index * SIZE.small * LEADING, style);
    this.line(number, MARGIN + this.width - this.widthOf(number, style), y, style);
  }

  private use({ bold = false, size = SIZE.text, colour = INK }: Style): PDFKit.PDFDocument {
    return this.doc.font(bold ? FONTS.bold : FONTS.plain).fontSize(size).fillColor(colour);
  }

  /** Width of a text on one line, points. */
  widthOf(text: string, style: Style = {}): number {
    const { bold = false, size = SIZE.text } = style;
    const known = this.widths[bold ? 'bold' : 'plain'];
    let perPoint = known.get(text);
    if (perPoint === undefined) {
      perPoint = this.use(style).widthOfString(text) / size;
      known.set(text, perPoint);
    }
    return perPoint * size;
  }

  private wrap(text: string, width: number, style: Style = {}): string[] {
    return wrapText(text, width, (piece) => this.widthOf(piece, style));
  }

  /** One line at a place of one's own. */
  line(text: string, x: number, y: number, style: Style = {}): void {
    if (text !== '') this.use(style).text(text, x, y, { lineBreak: false });
  }

  /** Numbers the pages and ends. @returns the file. */
  async finish(): Promise<Buffer> {
    const { start, count } = this.doc.bufferedPageRange();
    for (let page = 0; page < count; page += 1) {
      this.doc.switchToPage(start + page);
      this.drawFoot(page + 1, count);
    }
    this.doc.end();
    await this.ended;
    return Buffer.concat(this.chunks);
  }
}
