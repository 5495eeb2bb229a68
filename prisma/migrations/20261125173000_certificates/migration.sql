-- Certificates: the sealed results of inspections, the keys that sign them, and what was taken back.

CREATE TABLE "company_key" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "fingerprint" TEXT NOT NULL,
    "public_key" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "retired_at" TIMESTAMPTZ(3),

    CONSTRAINT "company_key_pkey" PRIMARY KEY ("company_id","id")
);
CREATE UNIQUE INDEX "company_key_fingerprint" ON "company_key"("company_id", "fingerprint");
-- One key signs at a time.
CREATE UNIQUE INDEX "company_key_one_in_use" ON "company_key"("company_id") WHERE "retired_at" IS NULL;
ALTER TABLE "company_key" ADD CONSTRAINT "company_key_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "company_key" ADD CONSTRAINT "company_key_values" CHECK (fingerprint ~ '^[0-9a-f]{64}$' AND public_key LIKE '-----BEGIN PUBLIC KEY-----%');

CREATE TABLE "company_key_secret" (
    "company_id" UUID NOT NULL,
    "key_id" UUID NOT NULL,
    "sealed" BYTEA NOT NULL,

    CONSTRAINT "company_key_secret_pkey" PRIMARY KEY ("company_id","key_id")
);
ALTER TABLE "company_key_secret" ADD CONSTRAINT "company_key_secret_company_id_key_id_fkey" FOREIGN KEY ("company_id", "key_id") REFERENCES "company_key"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

CREATE TABLE "certificate" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "number" TEXT NOT NULL,
    "work_order_id" UUID NOT NULL,
    "door_id" UUID NOT NULL,
    "kind" "WorkKind" NOT NULL,
    "passed" BOOLEAN NOT NULL,
    "person_name" TEXT NOT NULL,
    "completed_at" TIMESTAMPTZ(3) NOT NULL,
    "inspected_on" DATE NOT NULL,
    "next_due_on" DATE,
    "issued_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "content" TEXT NOT NULL,
    "hash" BYTEA NOT NULL,
    "signature" BYTEA NOT NULL,
    "key_id" UUID NOT NULL,

    CONSTRAINT "certificate_pkey" PRIMARY KEY ("company_id","id")
);
CREATE UNIQUE INDEX "certificate_number" ON "certificate"("number");
CREATE UNIQUE INDEX "certificate_of_order" ON "certificate"("company_id", "work_order_id");
CREATE INDEX "certificate_company_id_door_id_kind_completed_at_idx" ON "certificate"("company_id", "door_id", "kind", "completed_at");
CREATE INDEX "certificate_company_id_issued_at_idx" ON "certificate"("company_id", "issued_at");
ALTER TABLE "certificate" ADD CONSTRAINT "certificate_company_id_work_order_id_fkey" FOREIGN KEY ("company_id", "work_order_id") REFERENCES "work_order"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "certificate" ADD CONSTRAINT "certificate_company_id_door_id_fkey" FOREIGN KEY ("company_id", "door_id") REFERENCES "door"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "certificate" ADD CONSTRAINT "certificate_company_id_key_id_fkey" FOREIGN KEY ("company_id", "key_id") REFERENCES "company_key"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
-- The database makes sure that hash and content belong together, whoever writes them.
ALTER TABLE "certificate" ADD CONSTRAINT "certificate_sealed" CHECK (
  hash = sha256(convert_to(content, 'UTF8')) AND octet_length(signature) = 64 AND number ~ '^\d{8}(-[0-9A-HJKMNP-TV-Z]{4}){4}$'
  AND kind IN ('inspection', 'commissioning'));

CREATE TABLE "certificate_withdrawal" (
    "company_id" UUID NOT NULL,
    "certificate_id" UUID NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "reason" TEXT NOT NULL,
    "account_id" UUID,

    CONSTRAINT "certificate_withdrawal_pkey" PRIMARY KEY ("company_id","certificate_id")
);
ALTER TABLE "certificate_withdrawal" ADD CONSTRAINT "certificate_withdrawal_company_id_certificate_id_fkey" FOREIGN KEY ("company_id", "certificate_id") REFERENCES "certificate"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "certificate_withdrawal" ADD CONSTRAINT "certificate_withdrawal_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "certificate_withdrawal" ADD CONSTRAINT "certificate_withdrawal_reason" CHECK (reason <> '');

-- Owners read the certificates of their own doors, and with which key they can be verified. The private halves are for nobody but
-- who signs.
DO $$
DECLARE
  t text;
  narrower text;
BEGIN
  FOREACH t IN ARRAY ARRAY['company_key', 'company_key_secret', 'certificate', 'certificate_withdrawal'] LOOP
    narrower := CASE t
      WHEN 'company_key_secret' THEN ' AND (SELECT app_owner_id()) IS NULL'
      WHEN 'certificate' THEN ' AND ((SELECT app_owner_id()) IS NULL OR door_id = ANY ((SELECT app_owner_doors())::uuid[]))'
      WHEN 'certificate_withdrawal' THEN ' AND ((SELECT app_owner_id()) IS NULL OR EXISTS (SELECT FROM certificate c '
        'WHERE c.company_id = certificate_withdrawal.company_id AND c.id = certificate_withdrawal.certificate_id))'
      ELSE '' END;
    EXECUTE format('ALTER TABLE %I ENABLE ROW LEVEL SECURITY', t);
    EXECUTE format('ALTER TABLE %I FORCE ROW LEVEL SECURITY', t);
    EXECUTE format('CREATE POLICY of_company ON %I TO lintel_app USING (company_id = (SELECT app_company_id())%s) '
      'WITH CHECK (company_id = (SELECT app_company_id())%s)', t, narrower, narrower);
    EXECUTE format('CREATE POLICY of_schema_owner ON %I TO CURRENT_USER USING (true) WITH CHECK (true)', t);
    EXECUTE format('GRANT SELECT, INSERT ON %I TO lintel_app', t);
  END LOOP;
END $$;
GRANT UPDATE (retired_at) ON "company_key" TO lintel_app;

-- Taken back; or a newer one of the same door and kind stands, that was not itself taken back; or neither.
CREATE FUNCTION certificate_state(p certificate) RETURNS text LANGUAGE sql STABLE SET search_path = public, pg_temp
AS $$
  SELECT CASE
    WHEN EXISTS (SELECT FROM certificate_withdrawal w WHERE w.company_id = p.company_id AND w.certificate_id = p.id) THEN 'withdrawn'
    WHEN EXISTS (SELECT FROM certificate n WHERE n.company_id = p.company_id AND n.door_id = p.door_id AND n.kind = p.kind
      AND (n.completed_at, n.id) > (p.completed_at, p.id)
      AND NOT EXISTS (SELECT FROM certificate_withdrawal w WHERE w.company_id = n.company_id AND w.certificate_id = n.id)) THEN 'superseded'
    ELSE 'valid' END
$$;

-- For whoever holds the paper: no company is known then. It answers for one whole number alone, and no more than the paper says.
CREATE FUNCTION gate_certificate(p_number text)
  RETURNS TABLE (content text, hash text, signature text, public_key text, state text, withdrawn_at timestamptz)
  LANGUAGE sql STABLE SECURITY DEFINER SET search_path = public, pg_temp
  AS $$ SELECT c.content, encode(c.hash, 'hex'), translate(encode(c.signature, 'base64'), E'\n', ''), k.public_key, certificate_state(c), w.at
    FROM certificate c
    JOIN company_key k ON k.company_id = c.company_id AND k.id = c.key_id
    LEFT JOIN certificate_withdrawal w ON w.company_id = c.company_id AND w.certificate_id = c.id
    WHERE c.number = p_number $$;
REVOKE ALL ON FUNCTION gate_certificate(text) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION gate_certificate(text) TO lintel_app;

CREATE VIEW certificate_list WITH (security_invoker = true) AS
SELECT c.id, c.number, c.kind::text AS kind, c.passed, certificate_state(c) AS state, c.door_id AS "doorId", d.name AS "doorName",
  d.site_id AS "siteId", s.name AS "siteName", s.owner_id AS "ownerId", o.name AS "ownerName", c.work_order_id AS "workOrderId",
  c.person_name AS "personName", c.inspected_on AS "inspectedOn", c.next_due_on AS "nextDueOn", c.issued_at AS "issuedAt",
  encode(c.hash, 'hex') AS hash, k.fingerprint AS "keyId", w.at AS "withdrawnAt", w.reason AS "withdrawnReason"
FROM certificate c
LEFT JOIN door d ON d.company_id = c.company_id AND d.id = c.door_id
LEFT JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
LEFT JOIN owner o ON o.company_id = s.company_id AND o.id = s.owner_id
LEFT JOIN company_key k ON k.company_id = c.company_id AND k.id = c.key_id
LEFT JOIN certificate_withdrawal w ON w.company_id = c.company_id AND w.certificate_id = c.id;

CREATE VIEW company_key_list WITH (security_invoker = true) AS
SELECT k.id, k.fingerprint, k.public_key AS "publicKey", k.created_at AS "createdAt", k.retired_at AS "retiredAt" FROM company_key k;

GRANT SELECT ON certificate_list, company_key_list TO lintel_app;
