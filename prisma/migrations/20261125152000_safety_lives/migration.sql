-- What the maker of a safety device says of its life: operations by which one in ten has failed dangerously (ISO 13849-1, B10D).

ALTER TABLE "position" ADD COLUMN "b10d_cycles" BIGINT;
ALTER TABLE "position" ADD CONSTRAINT "position_b10d" CHECK (b10d_cycles > 0);

CREATE OR REPLACE VIEW position_list WITH (security_invoker = true) AS
SELECT p.id, p.door_type_id AS "doorTypeId", t.name AS "doorTypeName", p.kind, p.name, p.safety_device AS "safetyDevice",
  p.drawn_x AS "drawnX", p.drawn_y AS "drawnY", p.ordinal, p.b10_cycles AS "b10Cycles", p.b10_months AS "b10Months",
  p.life_shape AS "lifeShape", p.shape_spread AS "shapeSpread", p.rating_spread AS "ratingSpread",
  p.rating_source AS "ratingSource", p.archived_at IS NOT NULL AS archived, p.archived_at AS "archivedAt", p.version,
  -- What a part costs the company is not the facility owner's to see.
  CASE WHEN (SELECT app_owner_id()) IS NULL THEN p.planned_cost END AS "plannedCost",
  CASE WHEN (SELECT app_owner_id()) IS NULL THEN p.failure_cost END AS "failureCost",
  CASE WHEN (SELECT app_owner_id()) IS NULL THEN p.cost_currency::text END AS "costCurrency",
  p.b10d_cycles AS "b10dCycles"
FROM position p
LEFT JOIN door_type t ON t.company_id = p.company_id AND t.id = p.door_type_id;
