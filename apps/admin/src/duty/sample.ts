import Papa from 'papaparse';

/** The first lines of a file, its header among them, as the page shows them before anything is read for good. */
export interface Sample {
  header: string[];
  rows: string[][];
}

const headBytes = 64 * 1024;
const rowsShown = 5;

/** Reads the head of a CSV file; whatever delimiter it uses is found out. */
export async function sampleOf(file: File): Promise<Sample> {
  const text = await file.slice(0, headBytes).text();
  const { data } = Papa.parse<string[]>(text.replace(/^\uFEFF/, ''), { preview: rowsShown + 1, skipEmptyLines: 'greedy' });
  const [header = [], ...rows] = data;
  return { header, rows };
}
