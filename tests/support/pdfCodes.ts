import { inflateSync } from 'node:zlib';
import jsQR from 'jsqr';

/** Pixels a point: six or so a module of the smallest code. */
const SCALE = 4;

interface Bar {
  x: number;
  y: number;
  width: number;
  height: number;
}

/**
 * What the QR codes in a PDF say, as jsQR reads them: the bars that the file itself draws are put on a white ground, point by
 * point, and nothing else is known of them. A code begins with its white square.
 */
export function codesIn(file: Buffer): (string | null)[] {
  return contents(file).flatMap((content) => codeAreas(content).map(({ square, bars }) => readCode(square, bars)));
}

function contents(file: Buffer): string[] {
  const found: string[] = [];
  const text = file.toString('latin1');
  for (const match of text.matchAll(/stream\r?\n/g)) {
    const from = match.index + match[0].length;
    const to = text.indexOf('endstream', from);
    try {
      const content = inflateSync(file.subarray(from, to)).toString('latin1');
      if (/ re$/m.test(content)) found.push(content);
    } catch {
      // Fonts and the like are kept otherwise.
    }
  }
  return found;
}

function codeAreas(content: string): { square: Bar; bars: Bar[] }[] {
  const areas: { square: Bar; bars: Bar[] }[] = [];
  const number = '(-?[\\d.]+)';
  for (const match of content.matchAll(new RegExp(`${number} ${number} ${number} ${number} re$`, 'gm'))) {
    const [x = 0, y = 0, width = 0, height = 0] = match.slice(1).map(Number);
    const bar = { x, y, width, height };
    const area = areas.at(-1);
    if (Math.abs(width - height) < 0.01 && width > 50) areas.push({ square: bar, bars: [] });
    else if (area && x >= area.square.x && y >= area.square.y && x + width <= area.square.x + area.square.width + 0.01 && height < 12) area.bars.push(bar);
  }
  return areas;
}

function readCode(square: Bar, bars: readonly Bar[]): string | null {
  const side = Math.ceil(square.width * SCALE);
  const pixels = new Uint8ClampedArray(side * side * 4).fill(255);
  for (const { x, y, width, height } of bars) {
    const box = [x - square.x, x + width - square.x, y - square.y, y + height - square.y].map((value) => Math.round(value * SCALE)) as [number, number, number, number];
    for (let row = box[2]; row < Math.min(box[3], side); row += 1) {
      for (let column = box[0]; column < Math.min(box[1], side); column += 1) pixels.fill(0, (row * side + column) * 4, (row * side + column) * 4 + 3);
    }
  }
  return jsQR(pixels, side, side)?.data ?? null;
}
