import { civilDateAt, type CertificateFacts, type CertificateInstrument, type CertificateTask, type StepValue } from '@lintel/engine';
import type { CompanyContext } from '../context.js';
import { runSql, type CompanyTransaction } from '../sqlRunner.js';

/** Instants as the content says them: UTC with milliseconds. */
const iso = (column: string): string => `to_char(${column} AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"')`;

export type GatheredFacts = Omit<CertificateFacts, 'number' | 'keyId' | 'issuedAt'>;

interface OrderRow {
  kind: CertificateFacts['order']['kind'];
  state: string;
  number: number;
  title: string;
  passed: boolean | null;
  completedAt: string | null;
  completedById: string | null;
  steps: CertificateFacts['order']['steps'];
  taskId: string | null;
  doorId: string;
  doorTypeId: string;
  company: string;
  owner: string;
  site: CertificateFacts['site'];
  door: CertificateFacts['door'];
  regimeMonths: number | null;
  regimeSource: string | null;
}

/** Everything that a certificate says, as it stands in the caller's transaction. @throws Error where there is nothing to certify. */
export async function certificateFacts(
  transaction: CompanyTransaction, { companyId }: CompanyContext, workOrderId: string,
): Promise<{ doorId: string; taskId: string | null; facts: GatheredFacts }> {
  const ask = <Row>(sql: string, ...more: unknown[]): Promise<Row[]> => runSql<Row>(transaction, sql, [companyId, ...more]);
  const [order] = await ask<OrderRow>(ORDER, workOrderId);
  if (order === undefined) throw new Error(`there is no work order ${workOrderId}`);
  const { kind, completedAt, completedById, passed } = order;
  if (completedAt === null || passed === null || completedById === null) throw new Error(`work order ${order.number} is not completed`);
  if (kind !== 'inspection' && kind !== 'commissioning') throw new Error(`work order ${order.number} is ${String(kind)}: nothing to certify`);
  const answers = await ask<{ stepId: string; value: StepValue }>(ANSWERS, workOrderId);
  const positions = await ask<{ id: string; name: string }>(
    'SELECT id::text AS id, name FROM "position" WHERE company_id = $1::uuid AND door_type_id = $2::uuid', order.doorTypeId);
  const tasks = await ask<CertificateTask & { id: string }>(TASKS, order.doorTypeId);
  const own = tasks.filter(({ id }) => id === order.taskId);
  const inspectedOn = civilDateAt(Date.parse(completedAt), order.site.timeZone);
  const [person] = await ask<{ name: string }>('SELECT name FROM account WHERE company_id = $1::uuid AND id = $2::uuid', completedById);
  const instruments = await instrumentsOf(ask, answers.map(({ value }) => value));
  return {
    doorId: order.doorId,
    taskId: order.taskId,
    facts: {
      company: { name: order.company },
      owner: { name: order.owner },
      site: order.site,
      door: order.door,
      order: { kind, number: order.number, title: order.title, passed, completedAt, steps: order.steps, answers },
      positions: new Map(positions.map(({ id, name }) => [id, name])),
      instruments,
      person: { name: person?.name ?? '', competences: await ask(COMPETENCES, completedById, inspectedOn) },
      tasks: own.length > 0 ? own : tasks,
      regime: order.regimeMonths === null ? null : { months: order.regimeMonths, source: order.regimeSource ?? '' },
      findings: await ask(FINDINGS, workOrderId),
      images: await ask(IMAGES, workOrderId),
      signatures: await ask(SIGNATURES, workOrderId),
    },
  };
}

type Ask = <Row>(sql: string, ...more: unknown[]) => Promise<Row[]>;

/** The instruments that force tests were made with, each with the newest calibration of the day of its use. */
async function instrumentsOf(ask: Ask, values: readonly StepValue[]): Promise<Map<string, CertificateInstrument>> {
  const found = new Map<string, CertificateInstrument>();
  for (const value of values) {
    if (value.kind !== 'force-test' || value.instrumentId === undefined) continue;
    const [row] = await ask<CertificateInstrument>(INSTRUMENT, value.instrumentId, value.usedOn);
    if (row !== undefined) found.set(value.instrumentId, row);
  }
  return found;
}

const ORDER = `
  SELECT o.kind::text AS kind, o.state::text AS state, o.number, o.title, o.passed, ${iso('coalesce(cp.done_at, o.completed_at)')} AS "completedAt",
    o.completed_by_id::text AS "completedById", o.steps, o.task_id::text AS "taskId", d.id::text AS "doorId", t.id::text AS "doorTypeId",
    c.name AS company, w.name AS owner, s.regime_months AS "regimeMonths", s.regime_source AS "regimeSource",
    json_build_object('name', s.name, 'address', s.address, 'countryCode', s.country_code, 'timeZone', s.time_zone, 'units', s.units) AS site,
    json_build_object('name', d.name, 'serial', d.serial, 'type', t.name, 'kind', t.kind, 'widthMm', d.width_mm, 'heightMm', d.height_mm) AS door
  FROM work_order o
  JOIN door d ON d.company_id = o.company_id AND d.id = o.door_id
  JOIN door_type t ON t.company_id = d.company_id AND t.id = d.door_type_id
  JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
  JOIN owner w ON w.company_id = s.company_id AND w.id = s.owner_id
  JOIN company c ON c.id = o.company_id
  -- Work done without a signal is taken in later: the day of the inspection is that of the completion.
  LEFT JOIN completion cp ON cp.company_id = o.company_id AND cp.id = o.completion_id
  WHERE o.company_id = $1::uuid AND o.id = $2::uuid AND o.state IN ('completed', 'reviewed')`;

const ANSWERS = `
  SELECT step AS "stepId", value FROM work_answer WHERE company_id = $1::uuid AND work_order_id = $2::uuid AND counts ORDER BY place`;

const TASKS = `
  SELECT t.id::text AS id, t.interval_cycles::float8 AS "intervalCycles", t.interval_months AS "intervalMonths", t.anchor::text AS anchor,
    t.fixed_from::text AS "fixedFrom", t.safety, t.early_days AS "earlyDays", t.grace_days AS "graceDays", t.source
  FROM task t JOIN plan p ON p.company_id = t.company_id AND p.id = t.plan_id
  WHERE t.company_id = $1::uuid AND p.door_type_id = $2::uuid AND t.safety AND t.archived_at IS NULL AND p.archived_at IS NULL ORDER BY t.id`;

const COMPETENCES = `
  SELECT replace(kind::text, '_', '-') AS kind, evidence, issuer, valid_from::text AS "validFrom", valid_until::text AS "validUntil"
  FROM competence WHERE company_id = $1::uuid AND account_id = $2::uuid AND kind IN ('safety_inspection', 'force_measurement')
    AND valid_from <= $3::date AND (valid_until IS NULL OR valid_until >= $3::date) AND (revoked_on IS NULL OR revoked_on > $3::date)
  ORDER BY kind, valid_from, id`;

const FINDINGS = `
  SELECT severity::text AS severity, text, position_id::text AS "positionId", ${iso('found_at')} AS "foundAt"
  FROM finding WHERE company_id = $1::uuid AND work_order_id = $2::uuid ORDER BY found_at, id`;

const IMAGES = `
  SELECT id::text AS id, kind::text AS kind, step, ${iso('taken_at')} AS "takenAt", encode(sha256, 'hex') AS sha256
  FROM work_image WHERE company_id = $1::uuid AND work_order_id = $2::uuid ORDER BY taken_at, id`;

const SIGNATURES = `
  SELECT s.signer_name AS name, ${iso('s.at')} AS at, encode(i.sha256, 'hex') AS "imageSha256"
  FROM work_signature s JOIN work_image i ON i.company_id = s.company_id AND i.id = s.image_id
  WHERE s.company_id = $1::uuid AND s.work_order_id = $2::uuid ORDER BY s.at, s.id`;

const INSTRUMENT = `
  SELECT i.name, i.maker, i.model, i.serial, (
    SELECT json_build_object('on', c.calibrated_on, 'laboratory', c.laboratory, 'certificate', c.certificate_number)
    FROM calibration c WHERE c.company_id = i.company_id AND c.instrument_id = i.id AND c.withdrawn_at IS NULL AND c.calibrated_on <= $3::date
    ORDER BY c.calibrated_on DESC LIMIT 1) AS calibration
  FROM instrument i WHERE i.company_id = $1::uuid AND i.id = $2::uuid`;
