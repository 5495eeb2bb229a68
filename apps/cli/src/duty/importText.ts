import type { ImportResult } from '@lintel/store';

export interface ImportReport extends ImportResult {
  importId: string;
  kind: string;
  file: string;
  refusals: { line: number; field: string; reason: string }[];
  /** Refused lines beyond those named. */
  refusalsLeftOut: number;
}

/** What came of a file, for people. */
export function importText(report: ImportReport): string {
  const { kind, file, lines, accepted, unchanged, refused, refusals, refusalsLeftOut } = report;
  const text = [
    `${file}: ${lines} lines, ${accepted} taken over, ${unchanged} known already, ${refused} refused`,
    ...refusals.map(({ line, field, reason }) => `  line ${line}, ${field}: ${reason}`),
  ];
  if (refusalsLeftOut > 0) text.push(`  and ${refusalsLeftOut} more refused lines: see Imports in the pages`);
  // Faults move no date that is computed.
  if (accepted > 0 && kind !== 'faults') text.push('The running server projects these doors anew by itself; without one: npx lintel project');
  return `${text.join('\n')}\n`;
}
