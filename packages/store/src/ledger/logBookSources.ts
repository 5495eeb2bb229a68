import { CORRECTIVE } from '../faults/faultRepairs.js';

/**
 * Each source of a door's log book as SQL: $1 the door, $2 its time zone, $3 and $4 part kinds with their fault kinds, $5 days
 * within which the change of a part is a repair of a fault. All answer the same columns, by name; what is missing is null.
 */
export interface LogBookRow {
  key: string;
  kind: string;
  at: Date;
  what: string;
  passed?: boolean | null;
  reason?: string | null;
  defect?: string | null;
  severity?: string | null;
  remedy?: string | null;
  note?: string | null;
  parts?: { name: string; quantity: number }[] | null;
  tests?: { devices: number; devicesFailed: number; forces: number; forcesFailed: number } | null;
  cycles?: number | null;
  person?: string | null;
  signers?: string[] | null;
  orderNumber?: number | null;
  recordedAt?: Date | null;
}

const account = (column: string, as = 'a'): string => `LEFT JOIN account ${as} ON ${as}.company_id = x.company_id AND ${as}.id = ${column}`;
/** Who wrote an entry of the ledger about a thing. */
const byLedger = (subject: string, id: string, action: string): string =>
  `(SELECT coalesce(la.name, l.actor) FROM ledger_entry l LEFT JOIN account la ON la.company_id = l.company_id AND la.id = l.account_id
    WHERE l.company_id = x.company_id AND l.subject_kind = '${subject}' AND l.subject_id = ${id} AND l.action = '${action}' ORDER BY l.sequence LIMIT 1)`;

/** The door's first day; parts and counters of that day belong to it. */
const INSTALLATION = `SELECT 'door ' || x.id AS key, 'installation' AS kind, x.installed_on::timestamp AT TIME ZONE $2 AS at, t.name AS what,
    'fitted at installation: ' || (SELECT string_agg(p.name, ', ' ORDER BY p.ordinal) FROM fitted_part f
      JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id
      WHERE f.door_id = x.id AND (f.fitted_at AT TIME ZONE $2)::date <= x.installed_on AND f.removal_reason IS DISTINCT FROM 'entered_in_error') AS note,
    ${byLedger('door', 'x.id', 'door-added')} AS person
  FROM door x JOIN door_type t ON t.company_id = x.company_id AND t.id = x.door_type_id WHERE x.id = $1`;

/** What an order left beside its steps. */
const ORDER_FACTS = `
    (SELECT jsonb_agg(jsonb_build_object('name', coalesce(u.name, u.code, replace(u.kind, '-', ' ')), 'quantity', u.quantity) ORDER BY u.kind, u.id)
      FROM work_part u WHERE u.company_id = o.company_id AND u.work_order_id = o.id) AS parts,
    (SELECT array_agg(DISTINCT g.signer_name) FROM work_signature g WHERE g.company_id = o.company_id AND g.work_order_id = o.id) AS signers,
    (SELECT jsonb_build_object(
        'devices', count(*) FILTER (WHERE kind = 'test-device'), 'devicesFailed', count(*) FILTER (WHERE kind = 'test-device' AND outcome = 'failed'),
        'forces', count(*) FILTER (WHERE kind = 'force-test'), 'forcesFailed', count(*) FILTER (WHERE kind = 'force-test' AND outcome = 'failed'))
      FROM (SELECT DISTINCT ON (w.step) w.value ->> 'kind' AS kind, w.value ->> 'outcome' AS outcome FROM work_answer w
        WHERE w.company_id = o.company_id AND w.work_order_id = o.id AND w.counts ORDER BY w.step, w.place DESC) last
      WHERE kind IN ('test-device', 'force-test') HAVING count(*) > 0) AS tests,
    o.number AS "orderNumber"`;

const COMPLETIONS = `SELECT 'completion ' || x.id AS key, CASE WHEN t.safety THEN 'inspection' ELSE 'maintenance' END AS kind, x.done_at AS at,
    t.name AS what, x.passed, x.note, x.lifetime_cycles::float8 AS cycles, a.name AS person, x.recorded_at AS "recordedAt", ${ORDER_FACTS}
  FROM completion x JOIN task t ON t.company_id = x.company_id AND t.id = x.task_id
  LEFT JOIN LATERAL (SELECT * FROM work_order w WHERE w.company_id = x.company_id AND w.completion_id = x.id ORDER BY w.number LIMIT 1) o ON true
  ${account('x.account_id')} WHERE x.door_id = $1`;

/** Orders that completed no task: handovers, corrective work, inspections out of turn. */
const ORDERS = `SELECT 'order ' || o.id AS key,
    CASE o.kind WHEN 'commissioning' THEN 'handover' WHEN 'corrective' THEN 'repair' WHEN 'inspection' THEN 'inspection' ELSE 'maintenance' END AS kind,
    o.completed_at AS at, o.title AS what, o.passed, a.name AS person, o.completed_at AS "recordedAt",
    (SELECT string_agg(f.text, ' | ' ORDER BY f.found_at) FROM finding f WHERE f.company_id = o.company_id AND f.corrective_id = o.id) AS defect, ${ORDER_FACTS}
  FROM work_order o JOIN LATERAL (SELECT o.company_id, o.completed_by_id) x ON true ${account('x.completed_by_id')}
  WHERE o.door_id = $1 AND o.completed_at IS NOT NULL AND o.completion_id IS NULL AND o.state <> 'cancelled'`;

const FINDINGS = `SELECT 'finding ' || x.id AS key, 'finding' AS kind, x.found_at AS at, coalesce(p.name, 'The door') AS what, x.text AS defect,
    x.severity::text AS severity, a.name AS person, o.number AS "orderNumber",
    CASE WHEN x.cleared_at IS NULL THEN NULL ELSE concat_ws(', ', coalesce(x.resolution, 'cleared'), 'on ' || to_char(x.cleared_at AT TIME ZONE $2, 'YYYY-MM-DD'),
      'order ' || c.number) END AS remedy,
    CASE WHEN x.cleared_at IS NULL THEN 'open' END AS note
  FROM finding x LEFT JOIN position p ON p.company_id = x.company_id AND p.id = x.position_id
  LEFT JOIN work_order o ON o.company_id = x.company_id AND o.id = x.work_order_id
  LEFT JOIN work_order c ON c.company_id = x.company_id AND c.id = x.cleared_by_id
  ${account('x.account_id')} WHERE x.door_id = $1`;

/**
 * Parts: what is fitted within a week of the removal in the same position is one change; a repair where something was wrong with
 * the part that came out, with the latest fault of its kind in the days before as the defect. What was entered in error never was.
 */
const PARTS = `WITH part AS (
    SELECT x.*, p.name AS position, p.kind AS part_kind, lead(x.fitted_at) OVER w AS next_at, lag(x.removed_at) OVER w AS before_at
    FROM fitted_part x JOIN position p ON p.company_id = x.company_id AND p.id = x.position_id
    WHERE x.door_id = $1 AND x.removal_reason IS DISTINCT FROM 'entered_in_error' WINDOW w AS (PARTITION BY x.position_id ORDER BY x.fitted_at, x.id))
  SELECT 'removal ' || x.id AS key,
    CASE WHEN x.removal_reason IN ${CORRECTIVE} THEN 'repair' WHEN changed THEN 'part-changed' ELSE 'part-removed' END AS kind, x.removed_at AS at,
    x.position || CASE WHEN changed THEN ': new part fitted' ELSE ': taken out, none fitted' END AS what, replace(x.removal_reason::text, '_', '-') AS reason,
    fault.said AS defect, CASE WHEN fault.said IS NOT NULL AND changed THEN x.position || ' replaced' END AS remedy,
    concat_ws('; ', 'old serial ' || x.serial, 'new serial ' || n.serial, x.note) AS note, x.removed_cycles::float8 AS cycles,
    ${byLedger('fitted-part', 'x.id', 'fitted-part-removed')} AS person
  FROM part x CROSS JOIN LATERAL (SELECT x.next_at <= x.removed_at + interval '7 days' IS TRUE AS changed) c
  LEFT JOIN LATERAL (SELECT f.serial FROM part f WHERE changed AND f.position_id = x.position_id AND f.fitted_at = x.next_at LIMIT 1) n ON true
  LEFT JOIN LATERAL (SELECT fc.code || ' ' || fc.name AS said FROM fault f
    JOIN fault_code fc ON fc.company_id = f.company_id AND fc.id = f.fault_code_id
    JOIN unnest($3::text[], $4::text[]) AS k(part, fault) ON k.part = x.part_kind AND fc.kind = k.fault::"FaultKind"
    WHERE f.door_id = x.door_id AND x.removal_reason IN ${CORRECTIVE} AND f.at <= x.removed_at AND f.at > x.removed_at - make_interval(days => $5::int)
    ORDER BY f.at DESC, f.id DESC LIMIT 1) fault ON true
  WHERE x.removed_at IS NOT NULL
  UNION ALL
  SELECT 'fitting ' || x.id, 'part-fitted', x.fitted_at, x.position, NULL, NULL, NULL,
    concat_ws('; ', 'serial ' || x.serial, CASE WHEN x.age_at_fitting > 0 THEN 'had run ' || x.age_at_fitting || ' cycles' END, x.note),
    x.fitted_cycles::float8, ${byLedger('fitted-part', 'x.id', 'fitted-part-added')}
  FROM part x JOIN door d ON d.company_id = x.company_id AND d.id = x.door_id
  WHERE (x.fitted_at AT TIME ZONE $2)::date > d.installed_on AND (x.before_at IS NULL OR x.fitted_at > x.before_at + interval '7 days')`;

const COUNTERS = `SELECT 'counter ' || x.id AS key, 'counter' AS kind, x.fitted_at AS at, 'Counter “' || x.name || '”: fitted' AS what,
    concat_ws('; ', 'showed ' || x.start_value, 'rolls over at ' || x.modulus) AS note, x.start_cycles::float8 AS cycles,
    ${byLedger('counter', 'x.id', 'counter-added')} AS person FROM counter x WHERE x.door_id = $1
  UNION ALL
  SELECT 'counter-removal ' || x.id, 'counter', x.removed_at, 'Counter “' || x.name || '”: taken out', NULL, NULL,
    ${byLedger('counter', 'x.id', 'counter-removed')} FROM counter x WHERE x.door_id = $1 AND x.removed_at IS NOT NULL`;

const OVERRULES = `SELECT 'overrule ' || x.reading_id AS key, 'reading-overruled' AS kind, x.at,
    'Reading ' || r.value || ' of ' || to_char(r.at AT TIME ZONE $2, 'YYYY-MM-DD') || CASE WHEN x.use THEN ': used' ELSE ': set aside' END AS what,
    x.note, a.name AS person
  FROM reading_overrule x JOIN reading r ON r.company_id = x.company_id AND r.id = x.reading_id ${account('x.account_id')} WHERE x.door_id = $1`;

/** The ledger on the door itself: its state, and what was changed about it. */
const LEDGER = `SELECT 'ledger ' || x.id AS key, CASE WHEN x.action = 'door-changed' THEN 'modification' ELSE 'state' END AS kind, x.at,
    CASE WHEN x.action = 'door-changed' THEN 'Facts of the door changed' ELSE replace(coalesce(x.detail ->> 'state', 'decommissioned'), '-', ' ') END AS what,
    CASE WHEN x.action = 'door-changed' THEN (SELECT string_agg(e.key || ': ' || coalesce(e.value, 'none'), '; ' ORDER BY e.key) FROM jsonb_each_text(x.detail) e)
      ELSE x.detail ->> 'reason' END AS note,
    coalesce(a.name, x.actor) AS person, x.at AS "recordedAt"
  FROM ledger_entry x ${account('x.account_id')}
  WHERE x.subject_kind = 'door' AND x.subject_id = $1 AND x.action IN ('door-state-set', 'door-decommissioned', 'door-changed')`;

const OVERDUE = `SELECT 'overdue ' || x.id AS key, 'overdue' AS kind, x.noticed_at AS at, t.name AS what,
    'latest date was ' || to_char(x.latest_on, 'YYYY-MM-DD') AS note, x.noticed_at AS "recordedAt"
  FROM overdue_notice x JOIN task t ON t.company_id = x.company_id AND t.id = x.task_id WHERE x.door_id = $1`;

const CERTIFICATES = `SELECT 'certificate ' || x.id AS key, 'certificate' AS kind, x.issued_at AS at, 'Certificate ' || x.number AS what, x.passed,
    concat_ws('; ', 'of the inspection of ' || to_char(x.inspected_on, 'YYYY-MM-DD'), 'next due ' || to_char(x.next_due_on, 'YYYY-MM-DD'),
      'WITHDRAWN ' || to_char(w.at AT TIME ZONE $2, 'YYYY-MM-DD') || ': ' || w.reason) AS note,
    x.person_name AS person, o.number AS "orderNumber", x.issued_at AS "recordedAt"
  FROM certificate x LEFT JOIN certificate_withdrawal w ON w.company_id = x.company_id AND w.certificate_id = x.id
  LEFT JOIN work_order o ON o.company_id = x.company_id AND o.id = x.work_order_id WHERE x.door_id = $1`;

const CHAINS = `SELECT 'chain ' || x.id AS key, 'measurement' AS kind, x.measured_at AS at,
    p.name || ': elongation ' || round(x.elongation_percent::numeric, 2) || ' %' AS what,
    concat_ws('; ', CASE WHEN x.corrects_id IS NOT NULL THEN 'corrects an earlier entry' END, x.note) AS note,
    x.lifetime_cycles::float8 AS cycles, a.name AS person, x.received_at AS "recordedAt"
  FROM chain_measurement x JOIN fitted_part f ON f.company_id = x.company_id AND f.id = x.fitted_part_id
  JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id ${account('x.account_id')} WHERE x.door_id = $1`;

export const LOG_BOOK_SOURCES: readonly string[] = [
  INSTALLATION, COMPLETIONS, ORDERS, FINDINGS, PARTS, COUNTERS, OVERRULES, LEDGER, OVERDUE, CERTIFICATES, CHAINS,
];
