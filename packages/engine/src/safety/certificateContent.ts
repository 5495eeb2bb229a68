import { civilDateAt, nextDue, type CivilDate, type TaskRule } from '../upkeep/index.js';
import type { FindingSeverity, StepAnswered, StepValue, WorkStep } from '../work/index.js';
import { certificateForces, type CertificateForceTest, type CertificateInstrument } from './certificateForces.js';
import { deviceChecks, type SafetyDevice } from './deviceChecks.js';
import type { SourceStatus } from './types.js';

/** Name and version of the form. A later form gets another name; this one never changes its meaning. */
export const CERTIFICATE_FORMAT = 'lintel-certificate/1';

export type CertificateOutcome = 'passed' | 'failed' | 'recorded' | 'not-done';

export interface CertificateCheck {
  test: string;
  /** What has to happen for it to pass; null: the test says it. */
  criterion: string | null;
  source: string | null;
  outcome: CertificateOutcome;
  /** What was entered, as words: a value with its unit, a choice. */
  value: string | null;
  remark: string | null;
}

export interface CertificateDevice {
  position: string;
  device: SafetyDevice;
  outcome: CertificateOutcome;
  checks: readonly CertificateCheck[];
}

export interface CertificateCompetence {
  kind: string;
  evidence: string;
  issuer: string;
  validFrom: CivilDate;
  /** The last day; null: without end. */
  validUntil: CivilDate | null;
}

export interface CertificatePlaces {
  company: { name: string };
  owner: { name: string };
  site: { name: string; address: string | null; countryCode: string; timeZone: string; units: 'metric' | 'us' };
  door: { name: string; serial: string | null; type: string; kind: string; widthMm: number; heightMm: number };
}

/**
 * What a certificate says: the whole of a completed inspection, as plain JSON values (no undefined, no Date), so that its canonical
 * text is the same wherever it is made. Instants are ISO 8601 in UTC, dates the site's own.
 */
export interface CertificateContent extends CertificatePlaces {
  format: typeof CERTIFICATE_FORMAT;
  number: string;
  /** SHA-256 of the signing key's public half (SPKI, DER), small hexadecimal letters. */
  keyId: string;
  issuedAt: string;
  kind: 'inspection' | 'commissioning';
  title: string;
  workOrder: number;
  inspectedOn: CivilDate;
  completedAt: string;
  passed: boolean;
  devices: readonly CertificateDevice[];
  /** All other checks of the order that can fail. */
  checks: readonly CertificateCheck[];
  forceTests: readonly CertificateForceTest[];
  person: { name: string; competences: readonly CertificateCompetence[] };
  /** Null where it was not passed, or no task asks for a next one. */
  nextDue: { on: CivilDate; months: number; source: string } | null;
  findings: readonly { severity: FindingSeverity; text: string; position: string | null; foundAt: string }[];
  cautions: readonly string[];
  sources: readonly { source: string; status: SourceStatus | null }[];
  /** SHA-256 of each picture's bytes; null where it had not come in when this was issued. */
  images: readonly { kind: 'photo' | 'signature'; step: string | null; takenAt: string | null; sha256: string | null }[];
  signatures: readonly { name: string; at: string; imageSha256: string }[];
}

/** A task that asks for a next inspection. */
export interface CertificateTask extends TaskRule {
  source: string;
}

/** What is known of the completed order and of all around it. */
export interface CertificateFacts extends CertificatePlaces {
  number: string;
  keyId: string;
  issuedAt: string;
  order: {
    kind: 'inspection' | 'commissioning';
    number: number;
    title: string;
    passed: boolean;
    completedAt: string;
    steps: readonly WorkStep[];
    /** Those that count, oldest first. */
    answers: readonly StepAnswered[];
  };
  positions: ReadonlyMap<string, string>;
  instruments: ReadonlyMap<string, CertificateInstrument>;
  person: CertificateContent['person'];
  tasks: readonly CertificateTask[];
  regime: { months: number; source: string } | null;
  findings: readonly { severity: FindingSeverity; text: string; positionId: string | null; foundAt: string }[];
  images: readonly { id: string; kind: 'photo' | 'signature'; step: string | null; takenAt: string; sha256: string }[];
  signatures: CertificateContent['signatures'];
}

const CAUTIONS = [
  'Local codes, the maker’s manual and licensed trades come first.',
  'This paper says what a competent person found on the day of the inspection. It does not make the door safe on any other day: a door that has changed, or behaves otherwise than before, is taken out of service and tested again.',
  'Limits and intervals are as their sources say; those that were not read in the standard itself are marked, and have to be confirmed against it and against local rules.',
];

/**
 * The content of the certificate of a completed inspection or commissioning. Pure: equal facts, equal content. The next date is that
 * of the calendar alone (the sooner of the task's interval and the site's regime): nothing computed from cycles stands on a certificate.
 * O(size of the facts).
 * @throws RangeError for dates, zones or intervals that are none.
 */
export function certificateContent(facts: CertificateFacts): CertificateContent {
  const { order } = facts;
  const values = new Map(order.answers.map(({ stepId, value }) => [stepId, value]));
  const inspectedOn = civilDateAt(Date.parse(order.completedAt), facts.site.timeZone);
  const devices = devicesOf(order.steps, values, facts.positions);
  const checks = order.steps.filter(canFail).map((step) => checkOf(step, values.get(step.id)));
  const forceTests = certificateForces(order.steps, values, facts.instruments);
  return {
    format: CERTIFICATE_FORMAT,
    number: facts.number,
    keyId: facts.keyId,
    issuedAt: facts.issuedAt,
    company: { name: facts.company.name },
    owner: { name: facts.owner.name },
    site: facts.site,
    door: facts.door,
    kind: order.kind,
    title: order.title,
    workOrder: order.number,
    inspectedOn,
    completedAt: order.completedAt,
    passed: order.passed,
    devices,
    checks,
    forceTests,
    person: facts.person,
    nextDue: order.passed ? nextInspection(facts, inspectedOn) : null,
    findings: facts.findings.map(({ severity, text, positionId, foundAt }) => ({
      severity, text, position: positionId === null ? null : (facts.positions.get(positionId) ?? null), foundAt,
    })),
    cautions: CAUTIONS,
    sources: sourcesOf([...devices.flatMap((device) => device.checks), ...checks], forceTests),
    images: imagesOf(facts, values),
    signatures: facts.signatures,
  };
}

/** What a released step may say beside its text. */
type Described = WorkStep & { help?: string; source?: string };

const canFail = (step: WorkStep): boolean =>
  (step.kind === 'confirm' && !step.caution) || step.kind === 'choose' || step.kind === 'measure';

function checkOf(step: WorkStep, value: StepValue | undefined): CertificateCheck {
  const { help, source } = step as Described;
  return {
    test: step.text,
    criterion: help ?? limitWords(step),
    source: source ?? null,
    outcome: value?.outcome ?? 'not-done',
    value: valueWords(value),
    remark: value?.remark ?? null,
  };
}

function limitWords(step: WorkStep): string | null {
  if (step.kind !== 'measure' || (step.lower === undefined && step.upper === undefined)) return null;
  const { lower, upper, unit } = step;
  if (upper === undefined) return `at least ${lower} ${unit}`;
  return lower === undefined ? `at most ${upper} ${unit}` : `from ${lower} to ${upper} ${unit}`;
}

function valueWords(value: StepValue | undefined): string | null {
  if (value?.kind === 'measure') return `${value.value} ${value.unit}`;
  return value?.kind === 'choose' ? value.choice : null;
}

/** In the order of their first test. A device is passed when all its tests are. */
function devicesOf(
  steps: readonly WorkStep[], values: ReadonlyMap<string, StepValue>, positions: ReadonlyMap<string, string>,
): CertificateDevice[] {
  const found = new Map<string, CertificateDevice & { checks: CertificateCheck[] }>();
  for (const step of steps) {
    if (step.kind !== 'test-device') continue;
    const key = `${step.positionId} ${step.device}`;
    const device = found.get(key) ?? { position: positions.get(step.positionId) ?? '', device: step.device, outcome: 'passed', checks: [] };
    device.checks.push(checkOf(step, values.get(step.id)));
    found.set(key, device);
  }
  return [...found.values()].map((device) => ({ ...device, outcome: together(device.checks.map(({ outcome }) => outcome)) }));
}

function together(outcomes: readonly CertificateOutcome[]): CertificateOutcome {
  if (outcomes.includes('failed')) return 'failed';
  return outcomes.every((outcome) => outcome === 'passed') ? 'passed' : 'not-done';
}

/** The soonest of the tasks' dates. */
function nextInspection({ tasks, regime, site }: CertificateFacts, inspectedOn: CivilDate): CertificateContent['nextDue'] {
  const context = { timeZone: site.timeZone, today: inspectedOn, regimeMonths: regime?.months ?? null, duty: null };
  let soonest: CertificateContent['nextDue'] = null;
  for (const task of tasks) {
    const item = nextDue(task, { kind: 'completion', on: inspectedOn, lifetimeCycles: 0 }, context);
    if ('none' in item || (soonest !== null && soonest.on <= item.due)) continue;
    const source = item.why.tightenedByRegime && regime !== null ? regime.source : task.source;
    soonest = { on: item.due, months: item.why.interval, source };
  }
  return soonest;
}

/** Each source once, in the order in which it is met. */
function sourcesOf(checks: readonly CertificateCheck[], forceTests: readonly CertificateForceTest[]): CertificateContent['sources'] {
  const known = new Map(deviceChecks.map(({ source, status }) => [source, status]));
  const found = new Map<string, SourceStatus | null>();
  for (const { source } of checks) if (source !== null) found.set(source, known.get(source) ?? null);
  for (const { limits } of forceTests) for (const { source, status } of limits.rows) found.set(source, status);
  return [...found].map(([source, status]) => ({ source, status }));
}

function imagesOf({ images, order }: CertificateFacts, values: ReadonlyMap<string, StepValue>): CertificateContent['images'] {
  const come = new Set(images.map(({ id }) => id));
  const missing = order.steps.flatMap(({ id, text }) => {
    const value = values.get(id);
    const ids = value?.kind === 'photograph' ? value.photoIds.filter((photo) => !come.has(photo)) : [];
    return ids.map(() => ({ kind: 'photo' as const, step: text, takenAt: null, sha256: null }));
  });
  const texts = new Map(order.steps.map(({ id, text }) => [id, text]));
  return [
    ...images.map(({ kind, step, takenAt, sha256 }) => ({ kind, step: step === null ? null : (texts.get(step) ?? step), takenAt, sha256 })),
    ...missing,
  ];
}
