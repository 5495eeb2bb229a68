import { sourceStatusText } from '@lintel/contract';
import type { ForcePlace, ForceReason, ForceVerdict } from '@lintel/engine';

/** Figures rounded for print, well below what a gauge resolves. */
const DECIMALS = 1e3;

const ROWS = [
  { name: 'peak force', figure: 'peakNewton', unit: 'N' },
  { name: 'dynamic period', figure: 'dynamicMs', unit: 'ms' },
  { name: 'static force', figure: 'staticNewton', unit: 'N' },
  { name: 'residual force', figure: 'residualNewton', unit: 'N' },
] as const;

/** The verdict in the words of the command: forces in newton, times in milliseconds; limits with their rows and sources. */
export function forceJson({ passed, figures, limits, reasons }: ForceVerdict) {
  return {
    peak: round(figures.peakNewton),
    dynamicMs: round(figures.dynamicMs),
    static: round(figures.staticNewton),
    residual: round(figures.residualNewton),
    limits: {
      peak: limits.peakNewton,
      dynamicMs: limits.dynamicMs,
      static: limits.staticNewton,
      residual: limits.residualNewton,
      table: limits.table,
      version: limits.version,
      rows: limits.rows.map((row) => ({ ...row, statusText: sourceStatusText[row.status] })),
    },
    passed,
    reasons: reasons.map((reason) => ({ code: reason.code, facts: roundFacts(reason.facts), text: reasonText(reason) })),
  };
}

/** The verdict for reading. */
export function forceText({ passed, figures, limits, reasons }: ForceVerdict, place: ForcePlace): string {
  const where = place.position === 'flat-areas' ? 'between flat areas' : `between closing edge and counter edge, gap ${place.gapMm} mm`;
  const lines = [`closing force ${where}`];
  for (const { name, figure, unit } of ROWS) {
    const value = `${show(figures[figure])} ${unit}`;
    lines.push(`  ${name.padEnd(15)}${value.padStart(12)}   limit ${limits[figure]} ${unit}`);
  }
  lines.push(passed ? 'passed' : 'NOT PASSED');
  for (const reason of reasons) lines.push(`  ${reasonText(reason)}`);
  lines.push(`limits: ${limits.table}, version ${limits.version} of the table`);
  for (const { id, value, unit, source, status } of limits.rows) {
    lines.push(`  ${id}: ${value} ${unit} (${source}; ${sourceStatusText[status]})`);
  }
  lines.push('One reading: a measuring point counts by the mean of three. Local rules and the maker\'s manual come first.');
  return `${lines.join('\n')}\n`;
}

/** A reason as a sentence. */
function reasonText({ code, facts }: ForceReason): string {
  const fact = (name: string): string => show(Number(facts[name]));
  switch (code) {
    case 'peak-too-high':
      return `peak force ${fact('peakNewton')} N is above ${fact('limit')} N`;
    case 'dynamic-too-long':
      return `dynamic period ${fact('dynamicMs')} ms is longer than ${fact('limit')} ms`;
    case 'static-too-high':
      return `static force ${fact('staticNewton')} N is above ${fact('limit')} N`;
    case 'residual-too-high':
      return `residual force ${fact('residualNewton')} N is above ${fact('limit')} N`;
    case 'no-contact':
      return `nothing was touched: the force never exceeds ${fact('thresholdNewton')} N`;
    case 'static-phase-not-seen':
      return `the record ends ${fact('recordedMs')} ms after the contact, before the static phase at ${fact('neededMs')} ms`;
    case 'record-too-short':
      return `the record ends ${fact('recordedMs')} ms after the contact with the force still on; ${fact('neededMs')} ms are needed`;
    case 'sampling-too-slow':
      return `sampled at ${fact('hertz')} Hz; at least ${fact('leastHertz')} Hz are needed`;
    case 'samples-missing':
      return `no sample for ${fact('gapMs')} ms after ${fact('afterMs')} ms; at most ${fact('mostMs')} ms are allowed`;
    case 'readings-missing':
      return `${fact('readings')} readings; ${fact('needed')} are needed`;
  }
}

function roundFacts(facts: ForceReason['facts']): ForceReason['facts'] {
  return Object.fromEntries(
    Object.entries(facts).map(([name, value]) => [name, typeof value === 'number' ? round(value) : value]),
  );
}

function round(value: number): number {
  return Math.round(value * DECIMALS) / DECIMALS;
}

function show(value: number): string {
  return String(Math.round(value * 10) / 10);
}
