import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';

/** The text of each page of a PDF, as pdf.js reads it back. */
export async function pdfPages(file: Uint8Array): Promise<string[]> {
  const task = getDocument({ data: new Uint8Array(file), verbosity: 0 });
  const document = await task.promise;
  const pages: string[] = [];
  for (let number = 1; number <= document.numPages; number += 1) {
    const { items } = await (await document.getPage(number)).getTextContent();
    pages.push(items.map((item) => ('str' in item ? item.str : '')).join(' ').replaceAll(/\s+/g, ' '));
  }
  await task.destroy();
  return pages;
}
