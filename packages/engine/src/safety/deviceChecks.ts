import type { Refusal, SourceStatus } from './types.js';

export type SafetyDevice =
  | 'light-beam'
  | 'bottom-edge'
  | 'slack-switch'
  | 'emergency-stop'
  | 'supply-isolator'
  | 'activation'
  | 'warning'
  /** Of a kind that the table of checks does not know: tested as its maker says. */
  | 'other';

/** A measured value that tells a sound device from a failing one; never a substitute for the function test. */
export interface DiagnosticLimit {
  quantity: string;
  unit: string;
  lower?: number;
  upper?: number;
}

/** One check of one kind of safety device: what to do, what has to happen, and who says so. */
export interface DeviceCheck {
  id: string;
  device: SafetyDevice;
  /** `function`: decides whether the device passes; `diagnostic`: finds out why, or how near to failing. */
  kind: 'function' | 'diagnostic';
  test: string;
  criterion: string;
  limit?: DiagnosticLimit;
  /** The standard, or 'common practice, no source'. */
  source: string;
  status: SourceStatus;
}

const COMMON = 'common practice, no source';

function common(check: Omit<DeviceCheck, 'source' | 'status'>): DeviceCheck {
  return { ...check, source: COMMON, status: 'common-practice' };
}

/** Checks of every safety device, the function tests before the diagnostics. The maker's manual and local rules come first. */
export const deviceChecks: readonly DeviceCheck[] = [
  {
    id: 'light-beam-interrupt',
    device: 'light-beam',
    kind: 'function',
    test: 'While the door closes, interrupt the beam with a test body of 700 × 300 × 200 mm: at mid-width and near each side.',
    criterion: 'The door stops and opens again without touching the body, and does not close while the beam is interrupted.',
    source: 'EN 12453 / EN 12445, detection of a test body',
    status: 'from-memory',
  },
  {
    id: 'light-beam-fault',
    device: 'light-beam',
    kind: 'function',
    test: "Take the receiver's signal away (by its plug or test input, as the maker says) and command the door to close.",
    criterion: 'The door does not close by itself; it closes at most under constant pressure on a button in sight of it.',
    source: 'UL 325 as in force since 29 August 2010, monitored external entrapment protection; read in parts',
    status: 'second-hand',
  },
  {
    id: 'light-beam-off-time',
    device: 'light-beam',
    kind: 'diagnostic',
    test: 'Record the output of the receiver while the beam is interrupted for an instant.',
    criterion: 'The output stays off long enough for the control to see it.',
    limit: { quantity: 'output off', unit: 'ms', lower: 80 },
    source: 'IEC 61496-1',
    status: 'from-memory',
  },
  {
    id: 'light-beam-angle',
    device: 'light-beam',
    kind: 'diagnostic',
    test: 'Turn the receiver out of line, to both sides, until the beam is lost.',
    criterion: 'The beam is lost within the effective aperture angle of a type 2 device (type 4: 2.5°).',
    limit: { quantity: 'half-angle at which the beam is lost', unit: '°', upper: 5 },
    source: "IEC 61496-2, read on a sensor maker's page",
    status: 'second-hand',
  },
  {
    id: 'bottom-edge-reverse',
    device: 'bottom-edge',
    kind: 'function',
    test: 'Let the closing door meet a test body near the middle and near each end of its edge; then measure the closing force.',
    criterion: 'The door stops and opens again; forces are within the limits of the force test.',
    source: 'EN 12453 annex A and annex C, read on installer pages',
    status: 'second-hand',
  },
  {
    id: 'bottom-edge-fault',
    device: 'bottom-edge',
    kind: 'function',
    test: "Interrupt the edge's circuit, then short it (by its plug or test input, as the maker says); command the door to close.",
    criterion: 'Each time the door does not close by itself; it closes at most under constant pressure on a button in sight of it.',
    source: 'UL 325 as in force since 29 August 2010, monitored external entrapment protection; read in parts',
    status: 'second-hand',
  },
  common({
    id: 'bottom-edge-resistance',
    device: 'bottom-edge',
    kind: 'diagnostic',
    test: 'With the edge unplugged, measure the resistance of an edge that ends in a resistor, untouched.',
    criterion: 'The usual end resistor of 8.2 kΩ within 10 %; for another one, its own value.',
    limit: { quantity: 'resistance, untouched', unit: 'kΩ', lower: 7.38, upper: 9.02 },
  }),
  {
    id: 'slack-switch-trip',
    device: 'slack-switch',
    kind: 'function',
    test: 'With the panel secured, trip the switch of each side while the door closes.',
    criterion: 'The door stops at once and cannot close until the switch is reset.',
    source: COMMON,
    status: 'common-practice',
  },
  {
    id: 'slack-switch-drop',
    device: 'slack-switch',
    kind: 'diagnostic',
    test: 'By the marks of the fall-back protection: how far can the main edge drop before it is caught?',
    criterion: 'On failure of suspension or balance the main edge drops no further than the limit.',
    limit: { quantity: 'drop', unit: 'mm', upper: 300 },
    source: 'EN 12604:2017 section 4.3.4, read at second hand',
    status: 'second-hand',
  },
  common({
    id: 'slack-switch-contact',
    device: 'slack-switch',
    kind: 'diagnostic',
    test: 'With the circuit dead and unplugged, measure the closed contact of the switch.',
    criterion: 'The contact is clean.',
    limit: { quantity: 'contact resistance, closed', unit: 'Ω', upper: 1 },
  }),
  {
    id: 'emergency-stop-press',
    device: 'emergency-stop',
    kind: 'function',
    test: 'Press each stop while the door opens and while it closes; then release it.',
    criterion: 'The door stops, the device stays latched, and releasing it does not start a movement.',
    source: 'IEC 60204-1 (stop category 0 or 1) and ISO 13850',
    status: 'from-memory',
  },
  {
    id: 'supply-isolator-verify',
    device: 'supply-isolator',
    kind: 'function',
    test: 'Open and lock the isolator, then try to start the door; verify that it is dead with a tester proved before and after.',
    criterion: 'The isolator can be locked open, nothing starts, and stored energy is relieved or restrained.',
    source: '29 CFR 1910.147(d): isolate, lock, relieve stored energy, verify',
    status: 'read',
  },
  common({
    id: 'activation-commands',
    device: 'activation',
    kind: 'function',
    test: 'Give each command: button, pull switch, motion sensor, remote; then stand in the field of each sensor.',
    criterion: 'Each command does what it should and nothing else; the door stays open for whoever stands in a field.',
  }),
  common({
    id: 'warning-run',
    device: 'warning',
    kind: 'function',
    test: 'Run the door through a whole cycle from each side.',
    criterion: 'Sounder and light warn before and while the door moves, and can be told from the noise of the place.',
  }),
  {
    id: 'warning-level',
    device: 'warning',
    kind: 'diagnostic',
    test: 'Measure the A-weighted level at the opening with and without the sounder.',
    criterion: 'The sounder stands out of the noise.',
    limit: { quantity: 'level above the noise', unit: 'dB', lower: 15 },
    source: 'ISO 7731, auditory danger signals',
    status: 'from-memory',
  },
];

const byPartKind = new Map<string, readonly SafetyDevice[]>([
  ['light-beam', ['light-beam']],
  ['bottom-edge', ['bottom-edge']],
  ['slack-switch-left', ['slack-switch']],
  ['slack-switch-right', ['slack-switch']],
  ['push-buttons', ['emergency-stop', 'activation']],
  ['motion-sensor', ['activation']],
  ['supply-isolator', ['supply-isolator']],
  ['sounder', ['warning']],
]);

/** What safety devices a part of that kind is; none for a part that guards nobody. */
export function safetyDevicesOf(partKind: string): readonly SafetyDevice[] {
  return byPartKind.get(partKind) ?? [];
}

/** The checks of one kind of device. */
export function checksOf(device: SafetyDevice): DeviceCheck[] {
  return deviceChecks.filter((check) => check.device === device);
}

/**
 * Is a measured value within a check's diagnostic limit?
 * @returns `no-limit` for a check without one, `not-a-number`.
 */
export function judgeDiagnostic(
  check: DeviceCheck,
  value: number,
): { within: boolean } | Refusal<'no-limit' | 'not-a-number'> {
  if (!check.limit) return { refused: 'no-limit', facts: { check: check.id } };
  if (!Number.isFinite(value)) return { refused: 'not-a-number', facts: { check: check.id, value } };
  const { lower = -Infinity, upper = Infinity } = check.limit;
  return { within: value >= lower && value <= upper };
}
