-- Of the work of a published visit what is done where; what it costs the company is not the facility owner's to see.
CREATE OR REPLACE VIEW published_visit_list WITH (security_invoker = true) AS
SELECT v.id, v.site_id AS "siteId", s.name AS "siteName", s.time_zone AS "timeZone", v.technician_id AS "technicianId",
  a.name AS "technicianName", v.start_at AS "startAt", v.leave_at AS "leaveAt",
  (SELECT coalesce(jsonb_agg(jsonb_build_object('kind', i.item -> 'kind', 'doorId', i.item -> 'doorId', 'doorName', i.item -> 'doorName',
    'title', i.item -> 'title') ORDER BY i.place), '[]') FROM jsonb_array_elements(v.items) WITH ORDINALITY AS i(item, place)) AS items,
  v.started_at AS "startedAt", v.published_at AS "publishedAt"
FROM route_visit v
LEFT JOIN site s ON s.company_id = v.company_id AND s.id = v.site_id
LEFT JOIN account a ON a.company_id = v.company_id AND a.id = v.technician_id
WHERE v.published_at IS NOT NULL;
