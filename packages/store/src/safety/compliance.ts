import { complianceDevice, complianceSoonDays, complianceState, mostComplianceSites, partKinds } from '@lintel/contract';
import type { Compliance, ComplianceDevice, ComplianceDoorCell, ComplianceDoors, ComplianceQuery, ComplianceSite } from '@lintel/contract';
import { safetyDevicesOf } from '@lintel/engine';
import type pg from 'pg';

/** Which devices a part of each kind is, as two columns; what a position is marked for decides whether it is a safety device at all, one of another kind is `other`. */
const pairs = partKinds.flatMap((kind) => safetyDevicesOf(kind).map((device) => ({ kind, device })));
const deviceWords = complianceDevice.options;
const stateWords = complianceState.options;

/**
 * One line a door and device, as `cell`: when it was last tested, whether that was passed, and by when it must be again.
 * $1, $2: kinds of part and what devices they are; $3, $4: owners and sites, or null; $5: the instant it is asked at; $6: days that are soon.
 *
 * What a safety task tests, by its checklist: the closing force where it has a step for it; a device that a step names by its kind of
 * part or by its position; every device where no step names one, or one step says nothing of which (an order released from such a task
 * tests them all). Tests come from the answers of completed orders, each at its position, and from completions noted without an order.
 * Of several positions of a kind (two slack switches) the one tested longest ago counts, and one failed fails the device. Dates are in
 * the site's calendar. Due dates are the projection's, none is computed here.
 */
const CELLS = `
  WITH device_of AS (SELECT * FROM unnest($1::text[], $2::text[]) AS t(kind, device)),
  door_in AS MATERIALIZED (
    SELECT d.company_id, d.id, d.name, d.state, d.door_type_id, d.site_id, s.name AS site_name, s.time_zone, s.owner_id,
      ($5::timestamptz AT TIME ZONE s.time_zone)::date AS today
    FROM door d JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
    WHERE d.state <> 'decommissioned' AND ($3::uuid[] IS NULL OR s.owner_id = ANY ($3::uuid[])) AND ($4::uuid[] IS NULL OR s.id = ANY ($4::uuid[]))),
  type_device AS MATERIALIZED (
    SELECT p.door_type_id, coalesce(m.device, 'other') AS device, p.id AS position_id
    FROM position p LEFT JOIN device_of m ON m.kind = p.kind
    WHERE p.archived_at IS NULL AND p.safety_device
      -- Buttons stand for the activation where no sensor does.
      AND NOT (p.kind = 'push-buttons' AND m.device = 'activation' AND EXISTS (SELECT FROM position o
        WHERE o.company_id = p.company_id AND o.door_type_id = p.door_type_id AND o.kind = 'motion-sensor' AND o.safety_device AND o.archived_at IS NULL))
    UNION ALL SELECT id, 'closing-force', NULL FROM door_type),
  step AS (
    SELECT t.id AS task_id, e ->> 'kind' AS kind, coalesce(e ->> 'partKind', p.kind) AS part_kind
    FROM task t CROSS JOIN LATERAL jsonb_array_elements(t.checklist) AS e
    LEFT JOIN position p ON p.company_id = t.company_id AND p.id = (e ->> 'positionId')::uuid
    WHERE t.safety AND e ->> 'kind' IN ('test-device', 'force-test')),
  task_device AS MATERIALIZED (
    SELECT t.id AS task_id, m.device FROM task t CROSS JOIN (SELECT device FROM device_of UNION SELECT 'other') m
    WHERE t.safety AND (
      NOT EXISTS (SELECT FROM step s WHERE s.task_id = t.id AND s.kind = 'test-device' AND s.part_kind IS NOT NULL)
      OR EXISTS (SELECT FROM step s WHERE s.task_id = t.id AND s.kind = 'test-device' AND s.part_kind IS NULL)
      OR EXISTS (SELECT FROM step s LEFT JOIN device_of o ON o.kind = s.part_kind
        WHERE s.task_id = t.id AND s.kind = 'test-device' AND coalesce(o.device, 'other') = m.device))
    UNION ALL SELECT DISTINCT task_id, 'closing-force' FROM step WHERE kind = 'force-test'),
  due AS (
    SELECT u.door_id, k.device, min(u.latest_on) AS next_on
    FROM due_item u JOIN door_in d ON d.id = u.door_id JOIN task_device k ON k.task_id = u.task_id WHERE u.safety GROUP BY 1, 2),
  -- The newest of each door and task first: years of completions shrink to one line each before they meet the devices.
  noted AS (
    SELECT DISTINCT ON (c.door_id, c.task_id) c.door_id, c.task_id, c.done_at, c.passed
    FROM completion c JOIN door_in d ON d.id = c.door_id JOIN task t ON t.id = c.task_id AND t.safety
    WHERE c.done_at <= $5 AND NOT EXISTS (SELECT FROM work_order w WHERE w.completion_id = c.id)
    ORDER BY c.door_id, c.task_id, c.done_at DESC, c.recorded_at DESC),
  step_done AS MATERIALIZED (
    SELECT w.door_id, w.completed_at AS at, w.id AS order_id, e ->> 'id' AS step,
      CASE e ->> 'kind' WHEN 'force-test' THEN 'closing-force' ELSE e ->> 'device' END AS device, (e ->> 'positionId')::uuid AS position_id
    FROM work_order w JOIN door_in d ON d.id = w.door_id CROSS JOIN LATERAL jsonb_array_elements(w.steps) AS e
    WHERE w.state IN ('completed', 'reviewed') AND e ->> 'kind' IN ('test-device', 'force-test')),
  outcome AS MATERIALIZED (
    SELECT DISTINCT ON (work_order_id, step) work_order_id, step, value ->> 'outcome' AS outcome
    FROM work_answer WHERE counts ORDER BY work_order_id, step, place DESC),
  answered AS (
    SELECT s.door_id, s.device, s.position_id, s.at, bool_and(o.outcome <> 'failed') AS passed
    FROM step_done s JOIN outcome o ON o.work_order_id = s.order_id AND o.step = s.step GROUP BY 1, 2, 3, 4),
  tested AS (
    SELECT n.door_id, v.device, v.position_id, n.done_at AS at, n.passed
    FROM noted n JOIN door_in d ON d.id = n.door_id JOIN task_device k ON k.task_id = n.task_id
    JOIN type_device v ON v.door_type_id = d.door_type_id AND v.device = k.device
    UNION ALL SELECT door_id, device, position_id, at, passed FROM answered),
  -- Of two tests at one instant the worse counts.
  last AS (SELECT DISTINCT ON (door_id, device, position_id) * FROM tested ORDER BY door_id, device, position_id, at DESC, passed),
  proof AS (
    SELECT d.id AS door_id, v.device, CASE WHEN count(*) = count(l.at) THEN min(l.at) END AS at, bool_and(coalesce(l.passed, true)) AS passed
    FROM door_in d JOIN type_device v ON v.door_type_id = d.door_type_id
    LEFT JOIN last l ON l.door_id = d.id AND l.device = v.device AND l.position_id IS NOT DISTINCT FROM v.position_id
    GROUP BY 1, 2),
  cell AS (
    SELECT d.site_id, d.site_name, d.owner_id, d.id AS door_id, d.name AS door_name, d.state AS door_state, l.device,
      (l.at AT TIME ZONE d.time_zone)::date AS last_on, u.next_on,
      CASE
        WHEN u.next_on < d.today THEN 1
        WHEN NOT l.passed THEN 2
        WHEN u.next_on IS NULL THEN 3
        WHEN u.next_on <= d.today + $6::int THEN 4
        ELSE 5 END AS rank
    FROM door_in d JOIN proof l ON l.door_id = d.id
    LEFT JOIN due u ON u.door_id = d.id AND u.device = l.device)`;

const SITES = `${CELLS},
  by_device AS (
    SELECT site_id, site_name, owner_id, device, min(rank) AS rank, min(next_on)::text AS "nextOn", min(last_on)::text AS "lastOn",
      count(*)::int AS doors, count(*) FILTER (WHERE rank = 1)::int AS "doorsOverdue", count(*) FILTER (WHERE last_on IS NULL)::int AS "doorsUntested"
    FROM cell GROUP BY 1, 2, 3, 4),
  by_site AS (
    SELECT site_id, count(DISTINCT door_id)::int AS doors, count(DISTINCT door_id) FILTER (WHERE rank = 1)::int AS "doorsOverdue"
    FROM cell GROUP BY 1)
  SELECT b.site_id AS "siteId", b.site_name AS "siteName", b.owner_id AS "ownerId", o.name AS "ownerName", s.doors, s."doorsOverdue",
    min(b.rank)::int AS rank,
    json_agg(json_build_object('device', b.device, 'rank', b.rank, 'nextOn', b."nextOn", 'lastOn', CASE WHEN b."doorsUntested" = 0 THEN b."lastOn" END,
      'doors', b.doors, 'doorsOverdue', b."doorsOverdue", 'doorsUntested', b."doorsUntested")) AS cells
  FROM by_device b JOIN by_site s ON s.site_id = b.site_id JOIN owner o ON o.id = b.owner_id
  GROUP BY 1, 2, 3, 4, 5, 6 ORDER BY min(b.rank), s."doorsOverdue" DESC, b.site_name, b.site_id`;

const DOORS = `${CELLS}
  SELECT door_id AS "doorId", door_name AS "doorName", replace(door_state::text, '_', '-') AS "doorState", min(rank)::int AS rank,
    json_agg(json_build_object('device', device, 'rank', rank, 'nextOn', next_on, 'lastOn', last_on)) AS cells
  FROM cell GROUP BY 1, 2, 3 ORDER BY min(rank), door_name, door_id`;

/** One line a door and device, for a file. */
const LINES = `${CELLS}
  SELECT o.name AS "ownerName", c.site_name AS "siteName", c.door_name AS "doorName", replace(c.door_state::text, '_', '-') AS "doorState",
    c.device, c.last_on::text AS "lastOn", c.next_on::text AS "nextOn", c.rank::int AS rank
  FROM cell c JOIN owner o ON o.id = c.owner_id
  ORDER BY c.rank, o.name, c.site_name, c.door_name, c.door_id, c.device LIMIT 200000`;

/**
 * Joins of what was just computed: PostgreSQL takes every intermediate result for a few rows and would loop over 100,000 of them in
 * turn (10,000 doors: minutes). Hashed they take a second or two. Its price then looks so high that a server with a compiler for queries
 * would spend ten seconds on compiling it.
 */
const HASHED = 'SET LOCAL enable_nestloop = off; SET LOCAL jit = off';

async function ask<Row extends pg.QueryResultRow>(client: pg.ClientBase, text: string, query: Pick<ComplianceQuery, 'ownerId' | 'siteId'>, now: Date): Promise<Row[]> {
  await client.query(HASHED);
  return (await client.query<Row>(text, parameters(query, now))).rows;
}

interface Ranked {
  rank: number;
}
type Worded<T extends Ranked> = Omit<T, 'rank'> & { state: (typeof stateWords)[number] };

const worded = <T extends Ranked>({ rank, ...rest }: T): Worded<T> => ({ ...rest, state: stateWords[rank - 1]! });

const inOrder = <T extends Ranked & { device: ComplianceDevice }>(cells: readonly T[]): Worded<T>[] =>
  [...cells].sort((a, b) => deviceWords.indexOf(a.device) - deviceWords.indexOf(b.device)).map((cell) => worded(cell));

function parameters({ ownerId, siteId }: Pick<ComplianceQuery, 'ownerId' | 'siteId'>, now: Date): unknown[] {
  return [pairs.map(({ kind }) => kind), pairs.map(({ device }) => device), ownerId ?? null, siteId ?? null, now, complianceSoonDays];
}

type SiteRow = Omit<ComplianceSite, 'state' | 'cells'> & Ranked & { cells: (Omit<ComplianceSite['cells'][number], 'state'> & Ranked)[] };

/** The matrix of sites and kinds of safety devices, the worst first; of an owner, of its own sites. */
export async function compliance(client: pg.ClientBase, query: ComplianceQuery, now: Date): Promise<Compliance> {
  const rows = await ask<SiteRow>(client, SITES, query, now);
  const totals = Object.fromEntries(stateWords.map((state) => [state, 0])) as Compliance['totals'];
  for (const { rank } of rows) totals[stateWords[rank - 1]!] += 1;
  const wanted = query.overdue === undefined ? rows : rows.filter((row) => (row.doorsOverdue > 0) === query.overdue);
  const sites = wanted.slice(0, mostComplianceSites).map(({ cells, ...row }) => ({ ...worded(row), cells: inOrder(cells) }));
  return { sites, more: wanted.length > sites.length, totals };
}

type DoorRow = Omit<ComplianceDoors['doors'][number], 'state' | 'cells'> & Ranked & { cells: (Omit<ComplianceDoorCell, 'state'> & Ranked)[] };

/** The doors of one site, the worst first; null where the site cannot be seen. */
export async function siteCompliance(client: pg.ClientBase, siteId: string, now: Date): Promise<ComplianceDoors | null> {
  const site = await client.query<{ name: string }>('SELECT name FROM site WHERE id = $1::uuid', [siteId]);
  if (site.rows[0] === undefined) return null;
  const rows = await ask<DoorRow>(client, DOORS, { siteId: [siteId] }, now);
  return { siteId, siteName: site.rows[0].name, doors: rows.map(({ cells, ...row }) => ({ ...worded(row), cells: inOrder(cells) })) };
}

export interface ComplianceLine extends Pick<ComplianceDoorCell, 'device' | 'lastOn' | 'nextOn' | 'state'> {
  ownerName: string;
  siteName: string;
  doorName: string;
  doorState: string;
}

/** A line each door and device, the worst first. */
export async function complianceLines(client: pg.ClientBase, query: ComplianceQuery, now: Date): Promise<ComplianceLine[]> {
  const rows = await ask<Omit<ComplianceLine, 'state'> & Ranked>(client, LINES, query, now);
  const wanted = query.overdue === undefined ? rows : rows.filter(({ rank }) => (rank === 1) === query.overdue);
  return wanted.map((row) => worded(row));
}
