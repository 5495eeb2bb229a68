/**
 * Repairs or faults of one unit (a door, a fleet's engine), observed from age 0 to `end`. Ages in any one unit:
 * days in service, cycles, hours.
 */
export interface RepairHistory {
  /** Ages at the events, above 0 and up to `end`, in any order. */
  events: readonly number[];
  end: number;
}

/** What a fault concerns: the neutral kinds under which each company files its own codes. */
export const FAULT_KINDS = [
  'drive',
  'position-sensing',
  'safety-device',
  'activation',
  'heating',
  'supply',
  'communication',
  'mechanical',
] as const;
export type FaultKind = (typeof FAULT_KINDS)[number];
