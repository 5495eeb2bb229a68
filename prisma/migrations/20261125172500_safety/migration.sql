-- Safety: the company's own force limits by versions, instruments and their calibrations, who is competent for what.

CREATE TYPE "InstrumentKind" AS ENUM ('force_gauge', 'multimeter', 'voltage_tester', 'other');
CREATE TYPE "CompetenceKind" AS ENUM ('safety_inspection', 'force_measurement', 'electrical', 'mechanical');

CREATE TABLE "force_limit_version" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "number" INTEGER NOT NULL,
    "limits" JSONB NOT NULL,
    "account_id" UUID,
    "made_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "force_limit_version_pkey" PRIMARY KEY ("company_id","id")
);
CREATE UNIQUE INDEX "force_limit_version_number" ON "force_limit_version"("company_id", "number");
ALTER TABLE "force_limit_version" ADD CONSTRAINT "force_limit_version_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "force_limit_version" ADD CONSTRAINT "force_limit_version_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "force_limit_version" ADD CONSTRAINT "force_limit_version_table" CHECK (number > 1 AND (limits ->> 'version')::int = number);

CREATE TABLE "instrument" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "kind" "InstrumentKind" NOT NULL,
    "name" TEXT NOT NULL,
    "maker" TEXT,
    "model" TEXT,
    "serial" TEXT,
    "note" TEXT,
    "sampling_hertz" DOUBLE PRECISION,
    "accuracy_percent" DOUBLE PRECISION,
    "range_from_newton" DOUBLE PRECISION,
    "range_to_newton" DOUBLE PRECISION,
    "spring_newton_per_mm" DOUBLE PRECISION,
    "disc_mm" DOUBLE PRECISION,
    "archived_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "instrument_pkey" PRIMARY KEY ("company_id","id")
);
CREATE UNIQUE INDEX "instrument_name" ON "instrument"("company_id", "name");
ALTER TABLE "instrument" ADD CONSTRAINT "instrument_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
-- A force gauge has all of a gauge's figures, another instrument none.
ALTER TABLE "instrument" ADD CONSTRAINT "instrument_gauge" CHECK (CASE kind WHEN 'force_gauge'
  THEN num_nulls(sampling_hertz, accuracy_percent, range_from_newton, range_to_newton, spring_newton_per_mm, disc_mm) = 0
    AND least(sampling_hertz, accuracy_percent, range_to_newton, spring_newton_per_mm, disc_mm) > 0
    AND range_from_newton >= 0 AND range_from_newton < range_to_newton
  ELSE num_nonnulls(sampling_hertz, accuracy_percent, range_from_newton, range_to_newton, spring_newton_per_mm, disc_mm) = 0 END);

CREATE TABLE "calibration" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "instrument_id" UUID NOT NULL,
    "calibrated_on" DATE NOT NULL,
    "due_on" DATE NOT NULL,
    "laboratory" TEXT NOT NULL,
    "certificate_number" TEXT,
    "note" TEXT,
    "account_id" UUID,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "withdrawn_at" TIMESTAMPTZ(3),
    "withdrawn_by_id" UUID,
    "withdrawn_reason" TEXT,

    CONSTRAINT "calibration_pkey" PRIMARY KEY ("company_id","id")
);
CREATE INDEX "calibration_company_id_instrument_id_calibrated_on_idx" ON "calibration"("company_id", "instrument_id", "calibrated_on");
-- The same calibration is recorded once, until it is withdrawn.
CREATE UNIQUE INDEX "calibration_once" ON "calibration"("company_id", "instrument_id", "calibrated_on") WHERE "withdrawn_at" IS NULL;
ALTER TABLE "calibration" ADD CONSTRAINT "calibration_company_id_instrument_id_fkey" FOREIGN KEY ("company_id", "instrument_id") REFERENCES "instrument"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "calibration" ADD CONSTRAINT "calibration_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "calibration" ADD CONSTRAINT "calibration_company_id_withdrawn_by_id_fkey" FOREIGN KEY ("company_id", "withdrawn_by_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "calibration"
  ADD CONSTRAINT "calibration_dates" CHECK (due_on > calibrated_on),
  ADD CONSTRAINT "calibration_withdrawn" CHECK ((withdrawn_at IS NULL) = (withdrawn_reason IS NULL));

CREATE TABLE "competence" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "account_id" UUID NOT NULL,
    "kind" "CompetenceKind" NOT NULL,
    "evidence" TEXT NOT NULL,
    "issuer" TEXT NOT NULL,
    "valid_from" DATE NOT NULL,
    "valid_until" DATE,
    "note" TEXT,
    "recorded_by_id" UUID,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "revoked_on" DATE,
    "revoked_by_id" UUID,
    "revoked_reason" TEXT,

    CONSTRAINT "competence_pkey" PRIMARY KEY ("company_id","id")
);
CREATE INDEX "competence_company_id_account_id_kind_idx" ON "competence"("company_id", "account_id", "kind");
ALTER TABLE "competence" ADD CONSTRAINT "competence_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "competence" ADD CONSTRAINT "competence_company_id_recorded_by_id_fkey" FOREIGN KEY ("company_id", "recorded_by_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "competence" ADD CONSTRAINT "competence_company_id_revoked_by_id_fkey" FOREIGN KEY ("company_id", "revoked_by_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "competence"
  ADD CONSTRAINT "competence_dates" CHECK (valid_until >= valid_from),
  ADD CONSTRAINT "competence_revoked" CHECK ((revoked_on IS NULL) = (revoked_reason IS NULL) AND revoked_on >= valid_from);

-- The limits are everyone's of the company to read: a certificate is judged by them. Instruments and people are the company's own book.
DO $$
DECLARE
  t text;
  narrower text;
BEGIN
  FOREACH t IN ARRAY ARRAY['force_limit_version', 'instrument', 'calibration', 'competence'] LOOP
    narrower := CASE t WHEN 'force_limit_version' THEN '' ELSE ' AND (SELECT app_owner_id()) IS NULL' END;
    EXECUTE format('ALTER TABLE %I ENABLE ROW LEVEL SECURITY', t);
    EXECUTE format('ALTER TABLE %I FORCE ROW LEVEL SECURITY', t);
    EXECUTE format('CREATE POLICY of_company ON %I TO lintel_app USING (company_id = (SELECT app_company_id())%s) '
      'WITH CHECK (company_id = (SELECT app_company_id())%s)', t, narrower, narrower);
    EXECUTE format('CREATE POLICY of_schema_owner ON %I TO CURRENT_USER USING (true) WITH CHECK (true)', t);
  END LOOP;
END $$;
GRANT SELECT, INSERT ON "force_limit_version", "calibration", "competence" TO lintel_app;
GRANT SELECT, INSERT, UPDATE ON "instrument" TO lintel_app;
-- A fact stays as it is; that it is withdrawn or revoked is noted beside it.
GRANT UPDATE (withdrawn_at, withdrawn_by_id, withdrawn_reason) ON "calibration" TO lintel_app;
GRANT UPDATE (revoked_on, revoked_by_id, revoked_reason) ON "competence" TO lintel_app;

CREATE VIEW calibration_list WITH (security_invoker = true) AS
SELECT c.id, c.instrument_id AS "instrumentId", i.name AS "instrumentName", c.calibrated_on AS "calibratedOn", c.due_on AS "dueOn",
  c.laboratory, c.certificate_number AS "certificateNumber", c.note, c.account_id AS "accountId", a.name AS "accountName",
  c.recorded_at AS "recordedAt", c.withdrawn_at IS NOT NULL AS withdrawn, c.withdrawn_at AS "withdrawnAt",
  w.name AS "withdrawnByName", c.withdrawn_reason AS "withdrawnReason"
FROM calibration c
LEFT JOIN instrument i ON i.company_id = c.company_id AND i.id = c.instrument_id
LEFT JOIN account a ON a.company_id = c.company_id AND a.id = c.account_id
LEFT JOIN account w ON w.company_id = c.company_id AND w.id = c.withdrawn_by_id;

-- The state of calibration by the newest one that stands, as of today in UTC; the same rule as the engine's calibrationState (a test
-- compares them). A force gauge is good no longer than the limits in use allow, whatever its certificate says.
CREATE VIEW instrument_list WITH (security_invoker = true) AS
SELECT n.*, coalesce(n."goodThrough", '-infinity'::date) AS urgency, CASE
    WHEN n."goodThrough" IS NULL THEN 'never'
    WHEN n."goodThrough" < (now() AT TIME ZONE 'UTC')::date THEN 'out-of-date'
    WHEN n."goodThrough" <= (now() AT TIME ZONE 'UTC')::date + 60 THEN 'due-soon'
    ELSE 'in-date' END AS calibration
FROM (
  SELECT i.id, replace(i.kind::text, '_', '-') AS kind, i.kind AS "kindWord", i.name, i.maker, i.model, i.serial, i.note,
    i.sampling_hertz AS "samplingHertz", i.accuracy_percent AS "accuracyPercent", i.range_from_newton AS "rangeFromNewton",
    i.range_to_newton AS "rangeToNewton", i.spring_newton_per_mm AS "springNewtonPerMm", i.disc_mm AS "discMm",
    c.calibrated_on AS "calibratedOn", c.due_on AS "dueOn", c.laboratory, c.certificate_number AS "certificateNumber",
    CASE WHEN i.kind = 'force_gauge' THEN least(c.due_on, (c.calibrated_on + make_interval(months => coalesce((
      SELECT (v.limits #>> '{rows,gauge-calibration,value}')::int FROM force_limit_version v
      WHERE v.company_id = i.company_id ORDER BY v.number DESC LIMIT 1), 12)))::date)
      ELSE c.due_on END AS "goodThrough",
    i.archived_at IS NOT NULL AS archived, i.archived_at AS "archivedAt", i.version
  FROM instrument i
  LEFT JOIN LATERAL (
    SELECT * FROM calibration c WHERE c.company_id = i.company_id AND c.instrument_id = i.id AND c.withdrawn_at IS NULL
    ORDER BY c.calibrated_on DESC LIMIT 1) c ON true
) n;

CREATE VIEW competence_list WITH (security_invoker = true) AS
SELECT c.id, c.account_id AS "accountId", a.name AS "accountName", a.active AS "accountActive",
  replace(c.kind::text, '_', '-') AS kind, c.kind AS "kindWord", c.evidence, c.issuer, c.valid_from AS "validFrom",
  c.valid_until AS "validUntil", c.note, c.recorded_by_id AS "recordedById", r.name AS "recordedByName", c.recorded_at AS "recordedAt",
  c.revoked_on AS "revokedOn", v.name AS "revokedByName", c.revoked_reason AS "revokedReason",
  CASE
    WHEN c.revoked_on <= (now() AT TIME ZONE 'UTC')::date THEN 'revoked'
    WHEN c.valid_from > (now() AT TIME ZONE 'UTC')::date THEN 'not-yet'
    WHEN c.valid_until < (now() AT TIME ZONE 'UTC')::date THEN 'expired'
    WHEN c.valid_until <= (now() AT TIME ZONE 'UTC')::date + 60 THEN 'expires-soon'
    ELSE 'valid' END AS state
FROM competence c
LEFT JOIN account a ON a.company_id = c.company_id AND a.id = c.account_id
LEFT JOIN account r ON r.company_id = c.company_id AND r.id = c.recorded_by_id
LEFT JOIN account v ON v.company_id = c.company_id AND v.id = c.revoked_by_id;

GRANT SELECT ON calibration_list, instrument_list, competence_list TO lintel_app;
