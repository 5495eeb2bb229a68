-- Faults: each company's own codes under neutral kinds, and what its doors reported.

ALTER TYPE "ImportKind" ADD VALUE 'faults';

CREATE TYPE "FaultKind" AS ENUM ('drive', 'position_sensing', 'safety_device', 'activation', 'heating', 'supply', 'communication', 'mechanical');
CREATE TYPE "FaultSource" AS ENUM ('form', 'file', 'post', 'wire');

CREATE TABLE "fault_code" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "code" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "kind" "FaultKind" NOT NULL,
    "advice" TEXT,
    "archived_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "fault_code_pkey" PRIMARY KEY ("company_id","id")
);
-- A code means the same in small and in capital letters: a file may bring either.
CREATE UNIQUE INDEX "fault_code_once" ON "fault_code"("company_id", lower("code"));
ALTER TABLE "fault_code" ADD CONSTRAINT "fault_code_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

CREATE TABLE "fault" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "door_id" UUID NOT NULL,
    "fault_code_id" UUID NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "lifetime_cycles" BIGINT,
    "source" "FaultSource" NOT NULL,
    "note" TEXT,
    "import_id" UUID,
    "account_id" UUID,
    "received_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "fault_pkey" PRIMARY KEY ("company_id","id")
);
CREATE UNIQUE INDEX "fault_once" ON "fault"("company_id", "door_id", "at", "fault_code_id");
CREATE INDEX "fault_company_id_at_idx" ON "fault"("company_id", "at");
ALTER TABLE "fault" ADD CONSTRAINT "fault_company_id_door_id_fkey" FOREIGN KEY ("company_id", "door_id") REFERENCES "door"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "fault" ADD CONSTRAINT "fault_company_id_fault_code_id_fkey" FOREIGN KEY ("company_id", "fault_code_id") REFERENCES "fault_code"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "fault" ADD CONSTRAINT "fault_company_id_import_id_fkey" FOREIGN KEY ("company_id", "import_id") REFERENCES "import"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "fault" ADD CONSTRAINT "fault_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "fault" ADD CONSTRAINT "fault_cycles" CHECK (lifetime_cycles >= 0 AND lifetime_cycles <= 9007199254740991);

-- The catalogue is everyone's of the company to read, as door types are; a fault goes by its door.
ALTER TABLE "fault_code" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "fault_code" FORCE ROW LEVEL SECURITY;
CREATE POLICY of_company ON "fault_code" TO lintel_app
  USING (company_id = (SELECT app_company_id())) WITH CHECK (company_id = (SELECT app_company_id()));
CREATE POLICY of_schema_owner ON "fault_code" TO CURRENT_USER USING (true) WITH CHECK (true);
GRANT SELECT, INSERT, UPDATE, DELETE ON "fault_code" TO lintel_app;

ALTER TABLE "fault" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "fault" FORCE ROW LEVEL SECURITY;
CREATE POLICY of_company ON "fault" TO lintel_app
  USING (company_id = (SELECT app_company_id()) AND ((SELECT app_owner_id()) IS NULL OR EXISTS (SELECT FROM door d
    WHERE d.company_id = fault.company_id AND d.id = fault.door_id)))
  WITH CHECK (company_id = (SELECT app_company_id()) AND ((SELECT app_owner_id()) IS NULL OR EXISTS (SELECT FROM door d
    WHERE d.company_id = fault.company_id AND d.id = fault.door_id)));
CREATE POLICY of_schema_owner ON "fault" TO CURRENT_USER USING (true) WITH CHECK (true);
GRANT SELECT, INSERT ON "fault" TO lintel_app;

CREATE VIEW fault_code_list WITH (security_invoker = true) AS
SELECT c.id, c.code, c.name, replace(c.kind::text, '_', '-') AS kind, c.advice, c.archived_at IS NOT NULL AS archived,
  c.archived_at AS "archivedAt", c.version, c.kind AS "kindWord"
FROM fault_code c;

CREATE VIEW fault_list WITH (security_invoker = true) AS
SELECT f.id, f.door_id AS "doorId", d.name AS "doorName", d.site_id AS "siteId", s.name AS "siteName",
  s.owner_id AS "ownerId", d.door_type_id AS "doorTypeId", t.name AS "doorTypeName",
  f.fault_code_id AS "faultCodeId", c.code, c.name AS "codeName", replace(c.kind::text, '_', '-') AS kind, f.at,
  f.lifetime_cycles AS "lifetimeCycles", f.source::text AS source, f.note, f.import_id AS "importId",
  f.account_id AS "accountId", a.name AS "accountName", f.received_at AS "receivedAt", c.kind AS "kindWord"
FROM fault f
LEFT JOIN door d ON d.company_id = f.company_id AND d.id = f.door_id
LEFT JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
LEFT JOIN door_type t ON t.company_id = d.company_id AND t.id = d.door_type_id
LEFT JOIN fault_code c ON c.company_id = f.company_id AND c.id = f.fault_code_id
LEFT JOIN account a ON a.company_id = f.company_id AND a.id = f.account_id;

GRANT SELECT ON fault_code_list, fault_list TO lintel_app;
