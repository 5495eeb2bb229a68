import type { ChecklistStep } from './task.js';

export interface ChecklistFault {
  /** Place in the checklist, from 0. */
  index: number;
  field: keyof ChecklistStep;
  message: string;
}

/** What would keep an order from being released with this checklist, or make a step pass or fail whatever is answered. O(steps × options). */
export function checklistFaults(checklist: readonly ChecklistStep[]): ChecklistFault[] {
  return checklist.flatMap((step, index) => faultsOf(step).map(({ field, message }) => ({ index, field, message })));
}

type Fault = Omit<ChecklistFault, 'index'>;

function faultsOf(step: ChecklistStep): Fault[] {
  const faults: Fault[] = [];
  const { kind, safety, caution, optional, positionId, partKind } = step;
  if (kind === 'measure') faults.push(...measureFaults(step));
  if (kind === 'choose') faults.push(...chooseFaults(step));
  if (positionId !== undefined && partKind !== undefined) faults.push({ field: 'positionId', message: 'either one position or every position of a kind' });
  if (caution && kind === 'confirm' && optional) faults.push({ field: 'optional', message: 'a caution cannot be left out' });
  if (safety && optional) faults.push({ field: 'optional', message: 'a safety check cannot be left out' });
  return faults;
}

function measureFaults({ unit, lower, upper, safety }: ChecklistStep): Fault[] {
  const faults: Fault[] = [];
  if (unit === undefined || unit.trim() === '') faults.push({ field: 'unit', message: 'is needed for a measured value' });
  if (lower !== undefined && upper !== undefined && lower > upper) faults.push({ field: 'upper', message: `must not be below ${lower}` });
  if (safety && lower === undefined && upper === undefined) faults.push({ field: 'upper', message: 'a safety check needs a limit: at least, at most, or both' });
  return faults;
}

function chooseFaults({ options = [], failing = [], safety }: ChecklistStep): Fault[] {
  const faults: Fault[] = [];
  if (new Set(options).size < options.length) faults.push({ field: 'options', message: 'has the same option twice' });
  const strange = failing.find((option) => !options.includes(option));
  if (strange !== undefined) faults.push({ field: 'failing', message: `‘${strange}’ is not among the options` });
  if (options.length > 0 && options.every((option) => failing.includes(option))) faults.push({ field: 'failing', message: 'leaves no option that passes' });
  if (safety && failing.length === 0) faults.push({ field: 'failing', message: 'a safety check needs an option that fails' });
  return faults;
}
