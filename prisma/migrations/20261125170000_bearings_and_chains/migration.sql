-- What handbooks say of two kinds of part: rolling bearings by rating and load (ISO 281), roller chains by their measured elongation.

CREATE TYPE "BearingKind" AS ENUM ('ball', 'roller');

ALTER TABLE "position"
  ADD COLUMN "bearing_kind" "BearingKind",
  ADD COLUMN "bearing_rating_kn" DECIMAL(9,3),
  ADD COLUMN "bearing_load_kn" DECIMAL(9,3),
  ADD COLUMN "turns_per_cycle" DECIMAL(9,3),
  ADD COLUMN "bearing_source" TEXT,
  ADD COLUMN "chain_pitch_mm" DECIMAL(7,3),
  ADD COLUMN "sprocket_teeth" INTEGER,
  ADD COLUMN "fixed_centres" BOOLEAN NOT NULL DEFAULT true,
  ADD COLUMN "chain_limit_percent" DECIMAL(4,2);
ALTER TABLE "position"
  ADD CONSTRAINT "position_bearing" CHECK (num_nonnulls(bearing_kind, bearing_rating_kn, bearing_load_kn, turns_per_cycle) IN (0, 4)),
  ADD CONSTRAINT "position_bearing_above_0" CHECK (bearing_rating_kn > 0 AND bearing_load_kn > 0 AND turns_per_cycle > 0),
  ADD CONSTRAINT "position_chain" CHECK (chain_pitch_mm > 0 AND sprocket_teeth >= 5 AND chain_limit_percent > 0);

CREATE TABLE "chain_measurement" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "door_id" UUID NOT NULL,
    "fitted_part_id" UUID NOT NULL,
    "measured_at" TIMESTAMPTZ(3) NOT NULL,
    "lifetime_cycles" BIGINT,
    "pitches" INTEGER,
    "length_mm" DECIMAL(9,3),
    "pitch_mm" DECIMAL(7,3),
    "elongation_percent" DOUBLE PRECISION NOT NULL,
    "corrects_id" UUID,
    "note" TEXT,
    "account_id" UUID,
    "received_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "chain_measurement_pkey" PRIMARY KEY ("company_id","id")
);
CREATE UNIQUE INDEX "chain_measurement_of_part" ON "chain_measurement"("company_id", "fitted_part_id", "id");
CREATE INDEX "chain_measurement_company_id_door_id_idx" ON "chain_measurement"("company_id", "door_id");
-- One measurement is corrected once; a correction may itself be corrected.
CREATE UNIQUE INDEX "chain_measurement_corrected_once" ON "chain_measurement"("company_id", "fitted_part_id", "corrects_id");
ALTER TABLE "chain_measurement" ADD CONSTRAINT "chain_measurement_company_id_door_id_fitted_part_id_fkey" FOREIGN KEY ("company_id", "door_id", "fitted_part_id") REFERENCES "fitted_part"("company_id", "door_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "chain_measurement" ADD CONSTRAINT "chain_measurement_company_id_fitted_part_id_corrects_id_fkey" FOREIGN KEY ("company_id", "fitted_part_id", "corrects_id") REFERENCES "chain_measurement"("company_id", "fitted_part_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "chain_measurement" ADD CONSTRAINT "chain_measurement_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "chain_measurement"
  ADD CONSTRAINT "chain_measurement_length" CHECK (num_nonnulls(pitches, length_mm, pitch_mm) IN (0, 3)),
  ADD CONSTRAINT "chain_measurement_above_0" CHECK (pitches > 0 AND length_mm > 0 AND pitch_mm > 0),
  ADD CONSTRAINT "chain_measurement_cycles" CHECK (lifetime_cycles >= 0 AND lifetime_cycles <= 9007199254740991);

ALTER TABLE "chain_measurement" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "chain_measurement" FORCE ROW LEVEL SECURITY;
CREATE POLICY of_company ON "chain_measurement" TO lintel_app
  USING (company_id = (SELECT app_company_id()) AND ((SELECT app_owner_id()) IS NULL OR EXISTS (SELECT FROM door d
    WHERE d.company_id = chain_measurement.company_id AND d.id = chain_measurement.door_id)))
  WITH CHECK (company_id = (SELECT app_company_id()) AND ((SELECT app_owner_id()) IS NULL OR EXISTS (SELECT FROM door d
    WHERE d.company_id = chain_measurement.company_id AND d.id = chain_measurement.door_id)));
CREATE POLICY of_schema_owner ON "chain_measurement" TO CURRENT_USER USING (true) WITH CHECK (true);
GRANT SELECT, INSERT ON "chain_measurement" TO lintel_app;

CREATE VIEW chain_measurement_list WITH (security_invoker = true) AS
SELECT m.id, m.door_id AS "doorId", d.name AS "doorName", m.fitted_part_id AS "fittedPartId", p.name AS "positionName",
  m.measured_at AS "measuredAt", m.lifetime_cycles AS "lifetimeCycles", m.pitches, m.length_mm AS "lengthMm", m.pitch_mm AS "pitchMm",
  m.elongation_percent AS "elongationPercent", m.corrects_id AS "correctsId",
  EXISTS (SELECT FROM chain_measurement c WHERE c.company_id = m.company_id AND c.fitted_part_id = m.fitted_part_id AND c.corrects_id = m.id) AS corrected,
  m.note, m.account_id AS "accountId", a.name AS "accountName", m.received_at AS "receivedAt"
FROM chain_measurement m
LEFT JOIN door d ON d.company_id = m.company_id AND d.id = m.door_id
LEFT JOIN fitted_part f ON f.company_id = m.company_id AND f.id = m.fitted_part_id
LEFT JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id
LEFT JOIN account a ON a.company_id = m.company_id AND a.id = m.account_id;
GRANT SELECT ON chain_measurement_list TO lintel_app;

CREATE OR REPLACE VIEW position_list WITH (security_invoker = true) AS
SELECT p.id, p.door_type_id AS "doorTypeId", t.name AS "doorTypeName", p.kind, p.name, p.safety_device AS "safetyDevice",
  p.drawn_x AS "drawnX", p.drawn_y AS "drawnY", p.ordinal, p.b10_cycles AS "b10Cycles", p.b10_months AS "b10Months",
  p.life_shape AS "lifeShape", p.shape_spread AS "shapeSpread", p.rating_spread AS "ratingSpread",
  p.rating_source AS "ratingSource", p.archived_at IS NOT NULL AS archived, p.archived_at AS "archivedAt", p.version,
  -- What a part costs the company is not the facility owner's to see.
  CASE WHEN (SELECT app_owner_id()) IS NULL THEN p.planned_cost END AS "plannedCost",
  CASE WHEN (SELECT app_owner_id()) IS NULL THEN p.failure_cost END AS "failureCost",
  CASE WHEN (SELECT app_owner_id()) IS NULL THEN p.cost_currency::text END AS "costCurrency",
  p.b10d_cycles AS "b10dCycles", p.bearing_kind::text AS "bearingKind", p.bearing_rating_kn AS "bearingRatingKn",
  p.bearing_load_kn AS "bearingLoadKn", p.turns_per_cycle AS "turnsPerCycle", p.bearing_source AS "bearingSource",
  p.chain_pitch_mm AS "chainPitchMm", p.sprocket_teeth AS "sprocketTeeth", p.fixed_centres AS "fixedCentres",
  p.chain_limit_percent AS "chainLimitPercent"
FROM position p
LEFT JOIN door_type t ON t.company_id = p.company_id AND t.id = p.door_type_id;
