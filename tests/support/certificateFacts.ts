import {
  applyWorkCommand, defaultForceLimits, forceFigures, measuringPoints, type CertificateFacts, type ForceSample, type PointReading, type StepAnswered,
  type WorkCommand, type WorkOrder, type WorkStep,
} from '@lintel/engine';

/** An invented closing force at 500 Hz: contact after 0.1 s, a peak, then a static rest that is taken off at `releasedMs`. */
export function inventedCurve(peakNewton: number, restNewton = 90, releasedMs = 1600): ForceSample[] {
  return Array.from({ length: 3000 }, (_, index) => {
    const ms = index * 2;
    const t = ms - 100;
    const rise = t < 0 ? 0 : t < 60 ? (peakNewton * t) / 60 : restNewton + (peakNewton - restNewton) * Math.exp(-(t - 60) / 120);
    return { ms, newton: t > releasedMs ? 5 : Math.round(rise * 10) / 10 };
  });
}

const opening = { widthMm: 3000, heightMm: 3500 };
const gauge = { samplingHertz: 500, accuracyPercent: 2, rangeFromNewton: 10, rangeToNewton: 2500, springNewtonPerMm: 500, discMm: 80, calibratedOn: '2026-03-02' };

/** Three curves at every measuring point, the third of the first point's peaks above `peakNewton` by `extra`. */
export function inventedReadings(peakNewton: number, extra = 0): PointReading[] {
  const points = measuringPoints(opening, defaultForceLimits);
  if ('refused' in points) throw new Error(points.refused);
  return points.flatMap(({ heightMm, across }, place) => [0, 1, 2].map((reading) => {
    const curve = inventedCurve(peakNewton + 6 * reading + (place === 0 ? extra : 0));
    const figures = forceFigures(curve, defaultForceLimits);
    if ('refused' in figures) throw new Error(figures.refused);
    return { heightMm, across, figures: figures.figures, shortfalls: figures.shortfalls, curve };
  }));
}

export const inspectionSteps: readonly WorkStep[] = [
  { id: 'caution', kind: 'confirm', text: 'Keep people out of the opening. Bar both sides.', caution: true },
  { id: 'beam', kind: 'test-device', text: 'While the door closes, interrupt the beam with a test body of 700 × 300 × 200 mm.', positionId: 'p-beam', device: 'light-beam' },
  { id: 'edge', kind: 'test-device', text: 'Let the closing door meet a test body near each end of its edge.', positionId: 'p-edge', device: 'bottom-edge' },
  { id: 'chain', kind: 'measure', text: 'Elongation of the drive chain', unit: '%', upper: 2, safety: true },
  { id: 'signs', kind: 'choose', text: 'Signs and marks at the door', options: ['complete', 'missing'], failing: ['missing'] },
  { id: 'photo', kind: 'photograph', text: 'Photograph of the closed door' },
  { id: 'force', kind: 'force-test', text: 'Measure the closing force', opening, limits: defaultForceLimits },
];

/** The answers that the engine accepts for them. */
export function inspectionAnswers(options: { beamRemark?: string; extraNewton?: number } = {}): StepAnswered[] {
  const { beamRemark, extraNewton = 0 } = options;
  const commands: WorkCommand[] = [
    { command: 'release', steps: inspectionSteps, devices: ['p-beam', 'p-edge'] },
    { command: 'start' },
    { command: 'answer', stepId: 'caution', answer: { kind: 'confirm', confirmed: true } },
    { command: 'answer', stepId: 'beam', answer: beamRemark === undefined ? { kind: 'test-device', passed: true } : { kind: 'test-device', passed: false, remark: beamRemark } },
    { command: 'answer', stepId: 'edge', answer: { kind: 'test-device', passed: true, remark: 'Edge replaced last year' } },
    { command: 'answer', stepId: 'chain', answer: { kind: 'measure', value: 1.2, unit: '%' } },
    { command: 'answer', stepId: 'signs', answer: { kind: 'choose', choice: 'complete' } },
    { command: 'answer', stepId: 'photo', answer: { kind: 'photograph', photoIds: ['photo-1', 'photo-2'] } },
    { command: 'answer', stepId: 'force', answer: { kind: 'force-test', readings: inventedReadings(260, extraNewton), gauge, usedOn: '2026-11-02', instrumentId: 'gauge-1' } },
  ];
  let order: WorkOrder = { kind: 'inspection', state: 'planned', steps: [], devices: [], answers: [], findings: [], retests: [] };
  for (const command of commands) {
    const answer = applyWorkCommand(order, command);
    if ('refused' in answer) throw new Error(`${command.command}: ${answer.refused} ${JSON.stringify(answer.facts)}`);
    order = answer.order;
  }
  return [...order.answers];
}

/** Facts of an invented inspection, with names in several scripts. */
export function inventedFacts(changes: Partial<CertificateFacts> = {}): CertificateFacts {
  return {
    number: '20261102-7KQM-2XW4-RTPD-9HCF',
    keyId: '0'.repeat(64),
    issuedAt: '2026-11-02T15:04:05.678Z',
    company: { name: 'Nordfrost Tür & Tor Service' },
    owner: { name: 'Bjørnsund Fryselager' },
    site: { name: 'Bjørnsund nord', address: 'Kaigata 12, 6400 Bjørnsund', countryCode: 'NO', timeZone: 'Europe/Oslo', units: 'metric' },
    door: { name: 'F-03', serial: 'SN-20311', type: 'Freezer type 3000', kind: 'freezer', widthMm: 3000, heightMm: 3500 },
    order: {
      kind: 'inspection', number: 412, title: 'Yearly safety inspection', passed: true, completedAt: '2026-11-02T15:04:00.000Z',
      steps: inspectionSteps, answers: inspectionAnswers(),
    },
    positions: new Map([['p-beam', 'Safety beam'], ['p-edge', 'Bottom edge']]),
    instruments: new Map([['gauge-1', {
      name: 'Gauge 2', maker: 'Invented Instruments', model: 'K-25', serial: 'G-77', calibration: { on: '2026-03-02', laboratory: 'Invented Laboratory', certificate: 'C-2026-118' },
    }]]),
    person: {
      name: 'Łukasz Testowy',
      competences: [{ kind: 'safety-inspection', evidence: 'Course for powered doors, no. 881', issuer: 'Invented Training House', validFrom: '2025-05-01', validUntil: '2028-04-30' }],
    },
    tasks: [{ intervalCycles: null, intervalMonths: 12, anchor: 'completion', fixedFrom: null, safety: true, earlyDays: 30, graceDays: 0, source: 'default interval, confirm against local rules' }],
    regime: null,
    findings: [{ severity: 'note', text: 'Dents in the left side guide; no effect on the movement.', positionId: null, foundAt: '2026-11-02T14:40:00.000Z' }],
    images: [{ id: 'photo-1', kind: 'photo', step: 'photo', takenAt: '2026-11-02T14:41:00.000Z', sha256: 'ab'.repeat(32) }],
    signatures: [{ name: 'Åse Bjørnsund', at: '2026-11-02T15:03:00.000Z', imageSha256: 'cd'.repeat(32) }],
    ...changes,
  };
}
