-- Due work says which order is open for it already: nobody orders it twice, and nobody takes it for forgotten.
CREATE OR REPLACE VIEW due_item_list WITH (security_invoker = true) AS
SELECT u.door_id || ':' || u.task_id AS id, u.door_id AS "doorId", d.name AS "doorName", d.site_id AS "siteId",
  s.name AS "siteName", s.time_zone AS "timeZone", s.owner_id AS "ownerId", o.name AS "ownerName",
  u.task_id AS "taskId", k.name AS "taskName", u.safety, u.earliest_on AS "earliestOn", u.due_on AS "dueOn",
  u.latest_on AS "latestOn", u.latest_on < (now() AT TIME ZONE 'UTC')::date + 1 AND u.latest_on < (now() AT TIME ZONE s.time_zone)::date AS overdue, u.why, k.minutes,
  w.id AS "orderId", w.number AS "orderNumber", w.id IS NOT NULL AS ordered
FROM due_item u
LEFT JOIN door d ON d.company_id = u.company_id AND d.id = u.door_id
LEFT JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
LEFT JOIN owner o ON o.company_id = s.company_id AND o.id = s.owner_id
LEFT JOIN task k ON k.company_id = u.company_id AND k.id = u.task_id
LEFT JOIN (
  SELECT DISTINCT ON (company_id, door_id, task_id) company_id, door_id, task_id, id, number
  FROM work_order
  WHERE state IN ('planned', 'released', 'started') AND task_id IS NOT NULL
  ORDER BY company_id, door_id, task_id, number
) w ON w.company_id = u.company_id AND w.door_id = u.door_id AND w.task_id = u.task_id;
