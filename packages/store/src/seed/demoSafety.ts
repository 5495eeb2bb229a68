import { newId, type CompanyContext, type CompanyDb } from '../context.js';

const DAY_MS = 86_400_000;

/** Figures that the default force limits ask of a gauge. */
const gauge = { samplingHertz: 1000, accuracyPercent: 3, rangeFromNewton: 25, rangeToNewton: 2000, springNewtonPerMm: 500, discMm: 80 };

const instruments = [
  { kind: 'force_gauge', name: 'Gauge 1', serial: 'G-1041', ...gauge, calibratedDaysAgo: 120, goodDays: 365 },
  { kind: 'force_gauge', name: 'Gauge 2', serial: 'G-1077', ...gauge, samplingHertz: 500, calibratedDaysAgo: 330, goodDays: 365 },
  { kind: 'multimeter', name: 'Multimeter, van 1', serial: 'M-208', calibratedDaysAgo: 500, goodDays: 730 },
  { kind: 'voltage_tester', name: 'Voltage tester, van 1', serial: 'V-019', calibratedDaysAgo: 400, goodDays: 365 },
] as const;

const competences = [
  { role: 'technician', kind: 'safety_inspection', evidence: 'Course on power-operated doors, certificate 2041', fromDaysAgo: 400, days: 1095 },
  { role: 'technician', kind: 'force_measurement', evidence: 'Course on force measurement, certificate 2042', fromDaysAgo: 400, days: 430 },
  { role: 'technician', kind: 'electrical', evidence: 'Licence of the trade, 88-310', fromDaysAgo: 1500, days: null },
  { role: 'planner', kind: 'safety_inspection', evidence: 'Course on power-operated doors, certificate 1187', fromDaysAgo: 1200, days: 1095 },
] as const;

/** Those of the crew without a record yet have been trained too: only what is on record passes an inspection. */
export async function addDemoCompetences(db: CompanyDb, { companyId }: CompanyContext, recordedById: string, now: number): Promise<void> {
  const dayAt = (days: number): Date => new Date(Math.floor(now / DAY_MS + days) * DAY_MS);
  const crew = await db.account.findMany({ where: { companyId, role: 'technician', competences: { none: {} } }, orderBy: { email: 'asc' }, select: { id: true } });
  await db.competence.createMany({
    data: crew.flatMap(({ id: accountId }, index) => (['safety_inspection', 'force_measurement'] as const).map((kind) => ({
      companyId, id: newId(), accountId, kind, evidence: `Course for door crews, certificate ${3100 + index}`, issuer: 'Demo school of the trade', recordedById,
      validFrom: dayAt(-300), validUntil: dayAt(795), recordedAt: dayAt(-300),
    }))),
  });
}

/** Instruments with their calibrations, one due soon and one out of date, and who is competent for what, one of them no more. */
export async function addDemoSafety(db: CompanyDb, { companyId }: CompanyContext, people: ReadonlyMap<string, string>, now: number): Promise<void> {
  const dayAt = (days: number): Date => new Date(Math.floor(now / DAY_MS + days) * DAY_MS);
  const accountId = people.get('planner')!;
  for (const { calibratedDaysAgo, goodDays, ...instrument } of instruments) {
    const instrumentId = newId();
    await db.instrument.create({ data: { companyId, id: instrumentId, maker: 'Demo maker', ...instrument } });
    await db.calibration.create({
      data: {
        companyId, id: newId(), instrumentId, accountId, laboratory: 'Demo laboratory', certificateNumber: `C-${instrument.serial}`,
        calibratedOn: dayAt(-calibratedDaysAgo), dueOn: dayAt(goodDays - calibratedDaysAgo), recordedAt: dayAt(2 - calibratedDaysAgo),
      },
    });
  }
  await db.competence.createMany({
    data: competences.map(({ role, kind, evidence, fromDaysAgo, days }) => ({
      companyId, id: newId(), accountId: people.get(role)!, kind, evidence, issuer: 'Demo school of the trade', recordedById: people.get('administrator')!,
      validFrom: dayAt(-fromDaysAgo), validUntil: days === null ? null : dayAt(days - fromDaysAgo), recordedAt: dayAt(-fromDaysAgo),
    })),
  });
}
