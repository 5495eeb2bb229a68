/** The browser's own reader of codes, where it has one (Shape Detection API); not yet among TypeScript's words. */
interface CodeReader {
  detect(source: ImageBitmapSource): Promise<{ rawValue: string }[]>;
}
type CodeReaderMaker = new (options: { formats: string[] }) => CodeReader;

export type Reader = (source: HTMLVideoElement | ImageBitmap) => Promise<string | null>;

/** Longest side in which a code is looked for, pixels: more only costs time. */
const longest = 1200;

/** The browser's reader; where there is none, one in JavaScript, which is loaded only then. */
export async function codeReader(): Promise<Reader> {
  const maker = (globalThis as { BarcodeDetector?: CodeReaderMaker }).BarcodeDetector;
  if (maker) {
    try {
      const reader = new maker({ formats: ['qr_code', 'data_matrix', 'code_128', 'ean_13', 'code_39'] });
      await reader.detect(await createImageBitmap(new ImageData(8, 8)));
      return async (source) => (await reader.detect(source))[0]?.rawValue ?? null;
    } catch {
      // Named but not working on this machine: the other one does.
    }
  }
  const { default: jsQR } = await import('jsqr');
  const canvas = document.createElement('canvas');
  return async (source) => {
    const [width, height] = source instanceof HTMLVideoElement ? [source.videoWidth, source.videoHeight] : [source.width, source.height];
    if (width === 0 || height === 0) return null;
    const share = Math.min(1, longest / Math.max(width, height));
    canvas.width = Math.round(width * share);
    canvas.height = Math.round(height * share);
    const drawing = canvas.getContext('2d', { willReadFrequently: true })!;
    drawing.drawImage(source, 0, 0, canvas.width, canvas.height);
    const { data } = drawing.getImageData(0, 0, canvas.width, canvas.height);
    return jsQR(data, canvas.width, canvas.height)?.data ?? null;
  };
}
