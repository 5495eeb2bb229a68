-- What lies in the company's own store, when it is low there, and what a van should carry.
ALTER TABLE "stock_part" ADD COLUMN "in_store" INTEGER NOT NULL DEFAULT 0, ADD COLUMN "low_at" INTEGER, ADD COLUMN "per_van" INTEGER;
ALTER TABLE "stock_part" ADD CONSTRAINT "stock_part_quantities" CHECK (in_store >= 0 AND coalesce(low_at, 0) >= 0 AND coalesce(per_van, 0) >= 0);

CREATE OR REPLACE VIEW stock_part_list WITH (security_invoker = true) AS
SELECT p.id, p.code, p.kind, p.name, p.cost, p.currency::text AS currency, p.weight_kg AS "weightKg",
  p.archived_at IS NOT NULL AS archived, p.archived_at AS "archivedAt", p.version,
  p.in_store AS "inStore", p.low_at AS "lowAt", p.per_van AS "perVan",
  coalesce((SELECT sum(v.quantity) FROM van_stock v WHERE v.company_id = p.company_id AND v.part_id = p.id), 0)::int AS "inVans",
  p.archived_at IS NULL AND coalesce(p.in_store <= p.low_at, false) AS low
FROM stock_part p;

CREATE OR REPLACE VIEW van_stock_list WITH (security_invoker = true) AS
SELECT v.id, v.technician_id AS "technicianId", a.name AS "technicianName", v.part_id AS "partId", p.code, p.kind, p.name AS "partName",
  v.quantity, v.counted_at AS "countedAt", v.version, p.per_van AS "perVan",
  p.archived_at IS NULL AND coalesce(v.quantity < p.per_van, false) AS low
FROM van_stock v
LEFT JOIN account a ON a.company_id = v.company_id AND a.id = v.technician_id
LEFT JOIN stock_part p ON p.company_id = v.company_id AND p.id = v.part_id;

-- When a travel time was given, and the list of them with the names of its ends.
ALTER TABLE "travel_given" ADD COLUMN "given_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP;

CREATE VIEW travel_given_list WITH (security_invoker = true) AS
SELECT g.id, coalesce(fs.name, fa.name) AS "fromName", coalesce(ts.name, ta.name) AS "toName", g.from_site_id AS "fromSiteId",
  g.from_technician_id AS "fromTechnicianId", g.to_site_id AS "toSiteId", g.to_technician_id AS "toTechnicianId",
  g.minutes, g.km, g.given_at AS "givenAt"
FROM travel_given g
LEFT JOIN site fs ON fs.company_id = g.company_id AND fs.id = g.from_site_id
LEFT JOIN site ts ON ts.company_id = g.company_id AND ts.id = g.to_site_id
LEFT JOIN account fa ON fa.company_id = g.company_id AND fa.id = g.from_technician_id
LEFT JOIN account ta ON ta.company_id = g.company_id AND ta.id = g.to_technician_id;
GRANT SELECT ON travel_given_list TO lintel_app;
