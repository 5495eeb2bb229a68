import { InputError } from '../inputError.js';

export const isPdf = (bytes: Buffer): boolean => bytes.subarray(0, 1024).includes('%PDF-');

/** What a certificate's PDF holds: the sealed attachment (null: none), and the text of its pages. @throws InputError for a broken PDF. */
export async function readPaper(file: string, bytes: Buffer): Promise<{ attached: string | null; text: string }> {
  // Large, and needed by this command alone.
  const { getDocument } = await import('pdfjs-dist/legacy/build/pdf.mjs');
  const task = getDocument({ data: new Uint8Array(bytes), verbosity: 0 });
  try {
    const document = await task.promise;
    const attachments = ((await document.getAttachments()) ?? {}) as Record<string, { filename: string; content: Uint8Array }>;
    const found = Object.values(attachments).filter(({ filename }) => /^certificate-.*\.json$/.test(filename));
    // Of two, a reader might look at the other one.
    if (found.length > 1) throw new InputError(`${file}: holds ${found.length} sealed certificates; one is expected`);
    const pages: string[] = [];
    for (let number = 1; number <= document.numPages; number += 1) {
      const { items } = await (await document.getPage(number)).getTextContent();
      pages.push(items.map((item) => ('str' in item ? item.str : '')).join(' '));
    }
    return { attached: found[0] === undefined ? null : Buffer.from(found[0].content).toString('utf8'), text: pages.join(' ') };
  } catch (error) {
    if (error instanceof InputError) throw error;
    throw new InputError(`${file}: cannot be read as a PDF (${(error as Error).message})`);
  } finally {
    await task.destroy();
  }
}
