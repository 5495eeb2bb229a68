-- One flat view for each list of the API; its columns carry the names of the contract's fields, so nothing has to be
-- mapped. All are security_invoker: row-level security of the asking role decides what can be seen.
-- Joins to parents are LEFT joins on whole keys though every parent exists: the planner then drops those that a query
-- does not need, and finding the 50 ids of a page reads two tables instead of eleven.

CREATE INDEX "reading_company_id_at_idx" ON "reading"("company_id", "at");
CREATE INDEX "door_company_id_name_idx" ON "door"("company_id", "name");
CREATE INDEX "completion_company_id_done_at_idx" ON "completion"("company_id", "done_at");

CREATE VIEW owner_list WITH (security_invoker = true) AS
SELECT o.id, o.name, o.contact_name AS "contactName", o.email, o.phone,
  (SELECT count(*)::int FROM site s WHERE s.company_id = o.company_id AND s.owner_id = o.id AND s.archived_at IS NULL) AS sites,
  (SELECT count(*)::int FROM door d JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
    WHERE s.company_id = o.company_id AND s.owner_id = o.id AND d.state <> 'decommissioned') AS doors,
  o.archived_at IS NOT NULL AS archived, o.archived_at AS "archivedAt", o.version
FROM owner o;

CREATE VIEW site_list WITH (security_invoker = true) AS
SELECT s.id, s.owner_id AS "ownerId", o.name AS "ownerName", s.name, s.address, s.country_code::text AS "countryCode",
  s.time_zone AS "timeZone", s.latitude, s.longitude, s.units::text AS units, s.currency::text AS currency,
  s.regime_months AS "regimeMonths", s.regime_source AS "regimeSource",
  (SELECT count(*)::int FROM door d WHERE d.company_id = s.company_id AND d.site_id = s.id AND d.state <> 'decommissioned') AS doors,
  (SELECT count(*)::int FROM door d WHERE d.company_id = s.company_id AND d.site_id = s.id AND d.state = 'out_of_service')
    AS "doorsOutOfService",
  (SELECT count(*)::int FROM door d JOIN door_outlook u ON u.company_id = d.company_id AND u.door_id = d.id
    WHERE d.company_id = s.company_id AND d.site_id = s.id AND d.state <> 'decommissioned'
      AND u.safety_latest_on < (now() AT TIME ZONE s.time_zone)::date) AS "overdueSafety",
  s.archived_at IS NOT NULL AS archived, s.archived_at AS "archivedAt", s.version
FROM site s
LEFT JOIN owner o ON o.company_id = s.company_id AND o.id = s.owner_id;

CREATE VIEW zone_list WITH (security_invoker = true) AS
SELECT z.id, z.site_id AS "siteId", s.name AS "siteName", z.name, z.temperature_class::text AS "temperatureClass",
  z.set_point_celsius AS "setPointCelsius", z.archived_at IS NOT NULL AS archived, z.archived_at AS "archivedAt", z.version
FROM zone z
LEFT JOIN site s ON s.company_id = z.company_id AND s.id = z.site_id;

CREATE VIEW door_type_list WITH (security_invoker = true) AS
SELECT t.id, t.name, t.kind::text AS kind, t.supply_volts AS "supplyVolts", t.heated, t.width_mm AS "widthMm",
  t.height_mm AS "heightMm", t.min_cycle_seconds AS "minCycleSeconds", t.notes,
  (SELECT count(*)::int FROM position p WHERE p.company_id = t.company_id AND p.door_type_id = t.id AND p.archived_at IS NULL)
    AS positions,
  (SELECT count(*)::int FROM door d WHERE d.company_id = t.company_id AND d.door_type_id = t.id AND d.state <> 'decommissioned')
    AS doors,
  t.archived_at IS NOT NULL AS archived, t.archived_at AS "archivedAt", t.version
FROM door_type t;

CREATE VIEW position_list WITH (security_invoker = true) AS
SELECT p.id, p.door_type_id AS "doorTypeId", t.name AS "doorTypeName", p.kind, p.name, p.safety_device AS "safetyDevice",
  p.drawn_x AS "drawnX", p.drawn_y AS "drawnY", p.ordinal, p.b10_cycles AS "b10Cycles", p.b10_months AS "b10Months",
  p.life_shape AS "lifeShape", p.shape_spread AS "shapeSpread", p.rating_spread AS "ratingSpread",
  p.rating_source AS "ratingSource", p.archived_at IS NOT NULL AS archived, p.archived_at AS "archivedAt", p.version
FROM position p
LEFT JOIN door_type t ON t.company_id = p.company_id AND t.id = p.door_type_id;

CREATE VIEW door_list WITH (security_invoker = true) AS
SELECT d.id, d.site_id AS "siteId", s.name AS "siteName", s.time_zone AS "timeZone", s.owner_id AS "ownerId",
  o.name AS "ownerName", d.door_type_id AS "doorTypeId", t.name AS "doorTypeName", t.kind::text AS kind, t.heated,
  d.name, d.serial, d.from_zone_id AS "fromZoneId", zf.name AS "fromZoneName", zf.temperature_class::text AS "fromZoneClass",
  d.to_zone_id AS "toZoneId", zt.name AS "toZoneName", zt.temperature_class::text AS "toZoneClass",
  d.width_mm AS "widthMm", d.height_mm AS "heightMm", d.installed_on AS "installedOn",
  replace(d.state::text, '_', '-') AS state, d.state_reason AS "stateReason", d.state_since AS "stateSince", d.notes, d.version,
  y.lifetime_cycles AS "lifetimeCycles", y.cycles_per_day_10 AS "cyclesPerDay10", y.cycles_per_day AS "cyclesPerDay",
  y.cycles_per_day_90 AS "cyclesPerDay90", y.last_reading_at AS "lastReadingAt",
  coalesce(u.condition::text, 'unknown') AS condition, u.worst_part_id AS "worstPartId", wp.name AS "worstPartName",
  u.chance_90 AS "chance90", u.next_due_on AS "nextDueOn", u.next_task_id AS "nextTaskId", k.name AS "nextTaskName",
  u.safety_latest_on AS "safetyLatestOn",
  d.state <> 'decommissioned' AND coalesce(u.safety_latest_on < (now() AT TIME ZONE s.time_zone)::date, false) AS "overdueSafety",
  u.projected_at AS "projectedAt"
FROM door d
LEFT JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
LEFT JOIN owner o ON o.company_id = s.company_id AND o.id = s.owner_id
LEFT JOIN door_type t ON t.company_id = d.company_id AND t.id = d.door_type_id
LEFT JOIN zone zf ON zf.company_id = d.company_id AND zf.id = d.from_zone_id
LEFT JOIN zone zt ON zt.company_id = d.company_id AND zt.id = d.to_zone_id
LEFT JOIN door_duty y ON y.company_id = d.company_id AND y.door_id = d.id
LEFT JOIN door_outlook u ON u.company_id = d.company_id AND u.door_id = d.id
LEFT JOIN fitted_part w ON w.company_id = u.company_id AND w.id = u.worst_part_id
LEFT JOIN position wp ON wp.company_id = w.company_id AND wp.id = w.position_id
LEFT JOIN task k ON k.company_id = u.company_id AND k.id = u.next_task_id;

CREATE VIEW counter_list WITH (security_invoker = true) AS
SELECT c.id, c.door_id AS "doorId", d.name AS "doorName", c.name, c.fitted_at AS "fittedAt", c.removed_at AS "removedAt",
  c.removed_at IS NULL AS fitted, c.modulus, c.start_cycles AS "startCycles", c.start_value AS "startValue", c.version
FROM counter c
LEFT JOIN door d ON d.company_id = c.company_id AND d.id = c.door_id;

CREATE VIEW fitted_part_list WITH (security_invoker = true) AS
SELECT f.id, f.door_id AS "doorId", d.name AS "doorName", d.site_id AS "siteId", s.name AS "siteName",
  f.position_id AS "positionId", p.name AS "positionName", p.ordinal AS "positionOrdinal", p.kind,
  p.safety_device AS "safetyDevice", f.serial, f.fitted_at AS "fittedAt", f.fitted_cycles AS "fittedCycles",
  f.age_at_fitting AS "ageAtFitting", f.removed_at AS "removedAt", f.removed_cycles AS "removedCycles",
  replace(f.removal_reason::text, '_', '-') AS "removalReason", f.note, f.removed_at IS NULL AS fitted, f.version,
  coalesce(l.condition::text, 'unknown') AS condition, l.unit::text AS unit, l.age,
  l.remaining_10 AS "remaining10", l.remaining_50 AS "remaining50", l.remaining_90 AS "remaining90",
  l.ends_on_10 AS "endsOn10", l.ends_on_50 AS "endsOn50", l.ends_on_90 AS "endsOn90",
  l.chance_30 AS "chance30", l.chance_90 AS "chance90", l.chance_365 AS "chance365", l.projected_at AS "projectedAt"
FROM fitted_part f
LEFT JOIN door d ON d.company_id = f.company_id AND d.id = f.door_id
LEFT JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
LEFT JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id
LEFT JOIN part_outlook l ON l.company_id = f.company_id AND l.fitted_part_id = f.id AND f.removed_at IS NULL;

CREATE VIEW reading_list WITH (security_invoker = true) AS
SELECT r.id, r.door_id AS "doorId", d.name AS "doorName", d.site_id AS "siteId", s.name AS "siteName",
  r.counter_id AS "counterId", c.name AS "counterName", r.at, r.value, r.source::text AS source, r.import_id AS "importId",
  r.received_at AS "receivedAt",
  -- Only what is not simply used has a row of its own; what came after the last projection is still to be judged.
  CASE WHEN y.projected_at IS NULL OR r.received_at > y.projected_at THEN 'pending'
    ELSE coalesce(replace(v.verdict::text, '_', '-'), 'used') END AS verdict,
  CASE WHEN w.reading_id IS NOT NULL THEN json_build_object('use', w.use, 'note', w.note, 'accountId', w.account_id,
    'accountName', a.name, 'at', to_char(w.at AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"')) END AS overrule
FROM reading r
LEFT JOIN door d ON d.company_id = r.company_id AND d.id = r.door_id
LEFT JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
LEFT JOIN counter c ON c.company_id = r.company_id AND c.id = r.counter_id
LEFT JOIN door_duty y ON y.company_id = r.company_id AND y.door_id = r.door_id
LEFT JOIN reading_verdict v ON v.company_id = r.company_id AND v.reading_id = r.id
LEFT JOIN reading_overrule w ON w.company_id = r.company_id AND w.reading_id = r.id
LEFT JOIN account a ON a.company_id = w.company_id AND a.id = w.account_id;

CREATE VIEW import_list WITH (security_invoker = true) AS
SELECT i.id, i.kind::text AS kind, i.file_name AS "fileName", i.state::text AS state, i.header, i.mapping,
  i.size_bytes AS "sizeBytes", i.read_bytes AS "readBytes", i.lines, i.accepted, i.unchanged, i.refused, i.error,
  i.cancel_requested AS "cancelRequested", i.account_id AS "accountId", a.name AS "accountName",
  i.created_at AS "createdAt", i.started_at AS "startedAt", i.ended_at AS "endedAt", i.version
FROM import i
LEFT JOIN account a ON a.company_id = i.company_id AND a.id = i.account_id;

CREATE VIEW import_refusal_list WITH (security_invoker = true) AS
SELECT import_id AS "importId", line, field, reason, excerpt FROM import_refusal;

CREATE VIEW plan_list WITH (security_invoker = true) AS
SELECT p.id, p.door_type_id AS "doorTypeId", t.name AS "doorTypeName", p.name,
  (SELECT count(*)::int FROM task k WHERE k.company_id = p.company_id AND k.plan_id = p.id AND k.archived_at IS NULL) AS tasks,
  p.archived_at IS NOT NULL AS archived, p.archived_at AS "archivedAt", p.version
FROM plan p
LEFT JOIN door_type t ON t.company_id = p.company_id AND t.id = p.door_type_id;

CREATE VIEW task_list WITH (security_invoker = true) AS
SELECT k.id, k.plan_id AS "planId", p.name AS "planName", p.door_type_id AS "doorTypeId", t.name AS "doorTypeName", k.name,
  k.safety, k.interval_cycles AS "intervalCycles", k.interval_months AS "intervalMonths", k.anchor::text AS anchor,
  k.fixed_from AS "fixedFrom", k.early_days AS "earlyDays", k.grace_days AS "graceDays", k.minutes,
  coalesce(k.skills, '{}') AS skills, k.checklist, coalesce(k.parts, '{}') AS parts, k.source,
  k.archived_at IS NOT NULL AS archived, k.archived_at AS "archivedAt", k.version
FROM task k
LEFT JOIN plan p ON p.company_id = k.company_id AND p.id = k.plan_id
LEFT JOIN door_type t ON t.company_id = p.company_id AND t.id = p.door_type_id;

CREATE VIEW completion_list WITH (security_invoker = true) AS
SELECT c.id, c.door_id AS "doorId", d.name AS "doorName", d.site_id AS "siteId", s.name AS "siteName",
  c.task_id AS "taskId", k.name AS "taskName", k.safety, c.done_at AS "doneAt", c.lifetime_cycles AS "lifetimeCycles",
  c.passed, c.note, c.account_id AS "accountId", a.name AS "accountName", c.recorded_at AS "recordedAt"
FROM completion c
LEFT JOIN door d ON d.company_id = c.company_id AND d.id = c.door_id
LEFT JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
LEFT JOIN task k ON k.company_id = c.company_id AND k.id = c.task_id
LEFT JOIN account a ON a.company_id = c.company_id AND a.id = c.account_id;

CREATE VIEW due_item_list WITH (security_invoker = true) AS
SELECT u.door_id || ':' || u.task_id AS id, u.door_id AS "doorId", d.name AS "doorName", d.site_id AS "siteId",
  s.name AS "siteName", s.time_zone AS "timeZone", s.owner_id AS "ownerId", o.name AS "ownerName",
  u.task_id AS "taskId", k.name AS "taskName", u.safety, u.earliest_on AS "earliestOn", u.due_on AS "dueOn",
  u.latest_on AS "latestOn", u.latest_on < (now() AT TIME ZONE s.time_zone)::date AS overdue, u.why, k.minutes
FROM due_item u
LEFT JOIN door d ON d.company_id = u.company_id AND d.id = u.door_id
LEFT JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
LEFT JOIN owner o ON o.company_id = s.company_id AND o.id = s.owner_id
LEFT JOIN task k ON k.company_id = u.company_id AND k.id = u.task_id;

CREATE VIEW account_list WITH (security_invoker = true) AS
SELECT a.id, a.email, a.name, a.role::text AS role, a.owner_id AS "ownerId", o.name AS "ownerName", a.active,
  a.created_at AS "createdAt", a.version
FROM account a
LEFT JOIN owner o ON o.company_id = a.company_id AND o.id = a.owner_id;

CREATE VIEW job_list WITH (security_invoker = true) AS
SELECT r.id, r.job, r.payload, r.state::text AS state, r.done, r.total, r.attempts, r.error,
  r.cancel_requested AS "cancelRequested", r.created_at AS "createdAt", r.started_at AS "startedAt", r.ended_at AS "endedAt"
FROM job_run r
UNION ALL
-- Asked for, not yet seen by the queue.
SELECT b.id, b.job, b.payload, 'waiting', 0, 0, 0, NULL, false, b.created_at, NULL, NULL
FROM outbox b
WHERE b.done_at IS NULL AND NOT EXISTS (SELECT FROM job_run r WHERE r.company_id = b.company_id AND r.id = b.id);

CREATE VIEW ledger_list WITH (security_invoker = true) AS
SELECT e.id, e.at, e.account_id AS "accountId", a.name AS "accountName", e.actor, e.action, e.subject_kind AS "subjectKind",
  e.subject_id AS "subjectId", e.detail
FROM ledger_entry e
LEFT JOIN account a ON a.company_id = e.company_id AND a.id = e.account_id;

GRANT SELECT ON owner_list, site_list, zone_list, door_type_list, position_list, door_list, counter_list, fitted_part_list,
  reading_list, import_list, import_refusal_list, plan_list, task_list, completion_list, due_item_list, account_list,
  job_list, ledger_list TO lintel_app;
