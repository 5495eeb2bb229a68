-- Wear models that learn: versions of what is known of the life of the parts in a position, which of them an outlook used, and
-- what replacing a part costs.

ALTER TABLE "position" ADD COLUMN "planned_cost" BIGINT, ADD COLUMN "failure_cost" BIGINT, ADD COLUMN "cost_currency" CHAR(3);
ALTER TABLE "position" ADD CONSTRAINT "position_costs" CHECK (
  num_nulls(planned_cost, failure_cost, cost_currency) IN (0, 3) AND coalesce(planned_cost, 1) > 0 AND coalesce(failure_cost, 1) > 0);

CREATE TYPE "DoorClimate" AS ENUM ('freezer', 'cooler', 'ambient', 'outdoor', 'unknown');
CREATE TYPE "WearPool" AS ENUM ('type_in_climate', 'type', 'kind');

CREATE TABLE "wear_model" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "position_id" UUID NOT NULL,
    "climate" "DoorClimate" NOT NULL,
    "number" INTEGER NOT NULL,
    "made_at" TIMESTAMPTZ(3) NOT NULL,
    "pool" "WearPool" NOT NULL,
    "unit" "AgeUnit" NOT NULL,
    "failures" INTEGER NOT NULL,
    "suspensions" INTEGER NOT NULL,
    "set_aside" INTEGER NOT NULL,
    "rating" JSONB NOT NULL,
    "rating_source" TEXT,
    "shapes" DOUBLE PRECISION[],
    "scales" DOUBLE PRECISION[],
    "weights" DOUBLE PRECISION[],
    "b10" DOUBLE PRECISION NOT NULL,
    "b10_low" DOUBLE PRECISION NOT NULL,
    "b10_high" DOUBLE PRECISION NOT NULL,
    "b50" DOUBLE PRECISION NOT NULL,
    "b50_low" DOUBLE PRECISION NOT NULL,
    "b50_high" DOUBLE PRECISION NOT NULL,
    "comparison" JSONB,
    "no_fit" TEXT,
    "plot" JSONB NOT NULL,
    "fingerprint" TEXT NOT NULL,
    "in_use" BOOLEAN NOT NULL,
    "fixed_at" TIMESTAMPTZ(3),
    "fixed_by_id" UUID,
    "fixed_note" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "wear_model_pkey" PRIMARY KEY ("company_id","id")
);
CREATE UNIQUE INDEX "wear_model_number" ON "wear_model"("company_id", "position_id", "climate", "number");
ALTER TABLE "wear_model" ADD CONSTRAINT "wear_model_company_id_position_id_fkey" FOREIGN KEY ("company_id", "position_id") REFERENCES "position"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "wear_model" ADD CONSTRAINT "wear_model_company_id_fixed_by_id_fkey" FOREIGN KEY ("company_id", "fixed_by_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "wear_model"
  ADD CONSTRAINT "wear_model_laws" CHECK (cardinality(shapes) > 0 AND cardinality(scales) = cardinality(shapes) AND cardinality(weights) = cardinality(shapes)),
  ADD CONSTRAINT "wear_model_fit" CHECK ((comparison IS NULL) = (no_fit IS NOT NULL)),
  -- A fixed version is the one in use; one version of a position and climate is.
  ADD CONSTRAINT "wear_model_fixed" CHECK (fixed_at IS NULL OR in_use),
  ADD CONSTRAINT "wear_model_one_in_use" EXCLUDE USING btree (company_id WITH =, position_id WITH =, climate WITH =) WHERE (in_use);

-- What is known of lives is the company's own book: a facility owner sees nothing of it.
ALTER TABLE "wear_model" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "wear_model" FORCE ROW LEVEL SECURITY;
CREATE POLICY of_company ON "wear_model" TO lintel_app
  USING (company_id = (SELECT app_company_id()) AND (SELECT app_owner_id()) IS NULL)
  WITH CHECK (company_id = (SELECT app_company_id()) AND (SELECT app_owner_id()) IS NULL);
CREATE POLICY of_schema_owner ON "wear_model" TO CURRENT_USER USING (true) WITH CHECK (true);
GRANT SELECT, INSERT, UPDATE, DELETE ON "wear_model" TO lintel_app;

ALTER TABLE "part_outlook" ADD COLUMN "wear_model_id" UUID;
ALTER TABLE "part_outlook" ADD CONSTRAINT "part_outlook_company_id_wear_model_id_fkey" FOREIGN KEY ("company_id", "wear_model_id") REFERENCES "wear_model"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

CREATE OR REPLACE VIEW position_list WITH (security_invoker = true) AS
SELECT p.id, p.door_type_id AS "doorTypeId", t.name AS "doorTypeName", p.kind, p.name, p.safety_device AS "safetyDevice",
  p.drawn_x AS "drawnX", p.drawn_y AS "drawnY", p.ordinal, p.b10_cycles AS "b10Cycles", p.b10_months AS "b10Months",
  p.life_shape AS "lifeShape", p.shape_spread AS "shapeSpread", p.rating_spread AS "ratingSpread",
  p.rating_source AS "ratingSource", p.archived_at IS NOT NULL AS archived, p.archived_at AS "archivedAt", p.version,
  -- What a part costs the company is not the facility owner's to see.
  CASE WHEN (SELECT app_owner_id()) IS NULL THEN p.planned_cost END AS "plannedCost",
  CASE WHEN (SELECT app_owner_id()) IS NULL THEN p.failure_cost END AS "failureCost",
  CASE WHEN (SELECT app_owner_id()) IS NULL THEN p.cost_currency::text END AS "costCurrency"
FROM position p
LEFT JOIN door_type t ON t.company_id = p.company_id AND t.id = p.door_type_id;

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
  l.condition AS "conditionWord", l.wear_model_id AS "wearModelId"
FROM fitted_part f
LEFT JOIN door d ON d.company_id = f.company_id AND d.id = f.door_id
LEFT JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
LEFT JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id
LEFT JOIN part_outlook l ON l.company_id = f.company_id AND l.fitted_part_id = f.id AND f.removed_at IS NULL;

CREATE VIEW wear_model_list WITH (security_invoker = true) AS
SELECT m.id, m.position_id AS "positionId", p.name AS "positionName", p.kind, p.safety_device AS "safetyDevice",
  p.door_type_id AS "doorTypeId", t.name AS "doorTypeName", m.climate::text AS climate, m.number, m.made_at AS "madeAt",
  replace(m.pool::text, '_', '-') AS pool, m.unit::text AS unit, m.failures, m.suspensions, m.set_aside AS "setAside",
  m.rating, m.rating_source AS "ratingSource", m.b10, m.b10_low AS "b10Low", m.b10_high AS "b10High",
  m.b50, m.b50_low AS "b50Low", m.b50_high AS "b50High", m.no_fit AS "noFit", m.in_use AS "inUse",
  m.fixed_at IS NOT NULL AS fixed, m.fixed_at AS "fixedAt", a.name AS "fixedByName", m.fixed_note AS "fixedNote",
  max(m.number) OVER (PARTITION BY m.position_id, m.climate) AS newest, m.version
FROM wear_model m
LEFT JOIN position p ON p.company_id = m.company_id AND p.id = m.position_id
LEFT JOIN door_type t ON t.company_id = p.company_id AND t.id = p.door_type_id
LEFT JOIN account a ON a.company_id = m.company_id AND a.id = m.fixed_by_id;
GRANT SELECT ON wear_model_list TO lintel_app;
