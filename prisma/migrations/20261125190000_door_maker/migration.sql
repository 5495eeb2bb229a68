-- Who made a door and who put it up: its log book asks for both.
ALTER TABLE "door" ADD COLUMN "maker" TEXT, ADD COLUMN "installer" TEXT;

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
  u.projected_at AS "projectedAt", d.state AS "stateWord", u.condition AS "conditionWord", d.maker, d.installer
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
