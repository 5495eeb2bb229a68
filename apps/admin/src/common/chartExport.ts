import { unparse } from 'papaparse';

/** Pixels of the picture to one of the screen. */
const PICTURE_SCALE = 2;

/** The drawing as a file of its own, on white paper. */
export function svgOf(svg: SVGSVGElement): Blob {
  return new Blob([textOf(svg)], { type: 'image/svg+xml' });
}

function textOf(svg: SVGSVGElement): string {
  const { width, height } = svg.getBoundingClientRect();
  const copy = svg.cloneNode(true) as SVGSVGElement;
  copy.setAttribute('xmlns', 'http://www.w3.org/2000/svg');
  copy.setAttribute('width', String(Math.round(width)));
  copy.setAttribute('height', String(Math.round(height)));
  copy.setAttribute('font-family', 'sans-serif');
  const paper = document.createElementNS('http://www.w3.org/2000/svg', 'rect');
  for (const [name, value] of [['width', '100%'], ['height', '100%'], ['fill', '#fff']] as const) paper.setAttribute(name, value);
  copy.insertBefore(paper, copy.firstChild);
  return new XMLSerializer().serializeToString(copy);
}

/** The same as a picture. */
export async function pngOf(svg: SVGSVGElement): Promise<Blob> {
  const { width, height } = svg.getBoundingClientRect();
  const address = URL.createObjectURL(svgOf(svg));
  try {
    const picture = new Image();
    picture.src = address;
    await picture.decode();
    const canvas = document.createElement('canvas');
    [canvas.width, canvas.height] = [Math.round(width * PICTURE_SCALE), Math.round(height * PICTURE_SCALE)];
    canvas.getContext('2d')?.drawImage(picture, 0, 0, canvas.width, canvas.height);
    return await new Promise((resolve, reject) => {
      canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error('the picture could not be made'))), 'image/png');
    });
  } finally {
    URL.revokeObjectURL(address);
  }
}

/** Rows with a header, for any spreadsheet. */
export function csvOf(rows: readonly Record<string, string | number | null>[]): Blob {
  return new Blob([unparse([...rows], { newline: '\n' }), '\n'], { type: 'text/csv;charset=utf-8' });
}

/** Hands a file to the reader. */
export function offer(blob: Blob, name: string): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
