-- Lists filter by the stored words ("stateWord", "conditionWord"): the planner knows how common each of them is, and of a
-- word made from it nothing. And nowhere is the date more than a day ahead of UTC's (zones go up to UTC+14), so what falls
-- later than that is overdue nowhere: that can be read from an index, a date in each site's zone cannot.

CREATE OR REPLACE VIEW site_list WITH (security_invoker = true) AS
SELECT s.id, s.owner_id AS "ownerId", o.name AS "ownerName", s.name, s.address, s.country_code::text AS "countryCode",
  s.time_zone AS "timeZone", s.latitude, s.longitude, s.units::text AS units, s.currency::text AS currency,
  s.regime_months AS "regimeMonths", s.regime_source AS "regimeSource",
  (SELECT count(*)::int FROM door d WHERE d.company_id = s.company_id AND d.site_id = s.id AND d.state <> 'decommissioned') AS doors,
  (SELECT count(*)::int FROM door d WHERE d.company_id = s.company_id AND d.site_id = s.id AND d.state = 'out_of_service')
    AS "doorsOutOfService",
  -- Door by door: joined, the whole summary would be read once a site.
  (SELECT count(*)::int FROM door d
    WHERE d.company_id = s.company_id AND d.site_id = s.id AND d.state <> 'decommissioned'
      AND (SELECT u.safety_latest_on FROM door_outlook u WHERE u.company_id = d.company_id AND u.door_id = d.id)
        < (now() AT TIME ZONE s.time_zone)::date) AS "overdueSafety",
  s.archived_at IS NOT NULL AS archived, s.archived_at AS "archivedAt", s.version
FROM site s
LEFT JOIN owner o ON o.company_id = s.company_id AND o.id = s.owner_id;

CREATE OR REPLACE VIEW door_list WITH (security_invoker = true) AS
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
  d.state <> 'decommissioned' AND coalesce(u.safety_latest_on < (now() AT TIME ZONE 'UTC')::date + 1
    AND u.safety_latest_on < (now() AT TIME ZONE s.time_zone)::date, false) AS "overdueSafety",
  u.projected_at AS "projectedAt", d.state AS "stateWord", u.condition AS "conditionWord"
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

CREATE OR REPLACE VIEW fitted_part_list WITH (security_invoker = true) AS
SELECT f.id, f.door_id AS "doorId", d.name AS "doorName", d.site_id AS "siteId", s.name AS "siteName",
  f.position_id AS "positionId", p.name AS "positionName", p.ordinal AS "positionOrdinal", p.kind,
  p.safety_device AS "safetyDevice", f.serial, f.fitted_at AS "fittedAt", f.fitted_cycles AS "fittedCycles",
  f.age_at_fitting AS "ageAtFitting", f.removed_at AS "removedAt", f.removed_cycles AS "removedCycles",
  replace(f.removal_reason::text, '_', '-') AS "removalReason", f.note, f.removed_at IS NULL AS fitted, f.version,
  coalesce(l.condition::text, 'unknown') AS condition, l.unit::text AS unit, l.age,
  l.remaining_10 AS "remaining10", l.remaining_50 AS "remaining50", l.remaining_90 AS "remaining90",
  l.ends_on_10 AS "endsOn10", l.ends_on_50 AS "endsOn50", l.ends_on_90 AS "endsOn90",
  l.chance_30 AS "chance30", l.chance_90 AS "chance90", l.chance_365 AS "chance365", l.projected_at AS "projectedAt",
  l.condition AS "conditionWord"
FROM fitted_part f
LEFT JOIN door d ON d.company_id = f.company_id AND d.id = f.door_id
LEFT JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
LEFT JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id
LEFT JOIN part_outlook l ON l.company_id = f.company_id AND l.fitted_part_id = f.id AND f.removed_at IS NULL;

CREATE OR REPLACE VIEW due_item_list WITH (security_invoker = true) AS
SELECT u.door_id || ':' || u.task_id AS id, u.door_id AS "doorId", d.name AS "doorName", d.site_id AS "siteId",
  s.name AS "siteName", s.time_zone AS "timeZone", s.owner_id AS "ownerId", o.name AS "ownerName",
  u.task_id AS "taskId", k.name AS "taskName", u.safety, u.earliest_on AS "earliestOn", u.due_on AS "dueOn",
  u.latest_on AS "latestOn", u.latest_on < (now() AT TIME ZONE 'UTC')::date + 1 AND u.latest_on < (now() AT TIME ZONE s.time_zone)::date AS overdue, u.why, k.minutes
FROM due_item u
LEFT JOIN door d ON d.company_id = u.company_id AND d.id = u.door_id
LEFT JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
LEFT JOIN owner o ON o.company_id = s.company_id AND o.id = s.owner_id
LEFT JOIN task k ON k.company_id = u.company_id AND k.id = u.task_id;

-- The rules of row-level security, said in the planner's favour; what they allow stays the same. An EXISTS that looks at the
-- row is charged to every row, though it is asked for a facility owner alone, and so drove every list into looking things up
-- one by one; two sets of ids, made once a statement and only when they are needed, cost the others nothing.
CREATE FUNCTION app_owner_sites() RETURNS uuid[] LANGUAGE sql STABLE AS $$ SELECT array_agg(id) FROM site $$;
CREATE FUNCTION app_owner_doors() RETURNS uuid[] LANGUAGE sql STABLE AS $$ SELECT array_agg(id) FROM door $$;

DO $$
DECLARE
  of_site constant text[] := ARRAY['zone', 'door'];
  of_door constant text[] := ARRAY['counter', 'fitted_part', 'reading', 'reading_verdict', 'reading_overrule', 'door_duty',
    'completion', 'due_item', 'overdue_notice', 'part_outlook', 'door_outlook'];
  t text;
  rule text;
BEGIN
  FOR t IN SELECT unnest(of_site || of_door) LOOP
    rule := format('company_id = (SELECT app_company_id()) AND ((SELECT app_owner_id()) IS NULL OR %s)',
      CASE WHEN t = ANY (of_site) THEN 'site_id = ANY ((SELECT app_owner_sites())::uuid[])'
        ELSE 'door_id = ANY ((SELECT app_owner_doors())::uuid[])' END);
    EXECUTE format('ALTER POLICY of_company ON %I USING (%s) WITH CHECK (%s)', t, rule, rule);
  END LOOP;
END $$;
