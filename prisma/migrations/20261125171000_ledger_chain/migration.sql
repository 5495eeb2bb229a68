-- The ledger as a chain: each entry is sealed over the one before, per company.

ALTER TABLE "ledger_entry" ADD COLUMN "sequence" BIGINT, ADD COLUMN "previous_hash" BYTEA, ADD COLUMN "hash" BYTEA;
CREATE UNIQUE INDEX "ledger_entry_sequence" ON "ledger_entry"("company_id", "sequence");
ALTER TABLE "ledger_entry" ADD CONSTRAINT "ledger_entry_sealed" CHECK (
  (sequence IS NULL AND previous_hash IS NULL AND hash IS NULL)
  OR (sequence >= 1 AND octet_length(previous_hash) = 32 AND octet_length(hash) = 32)),
  -- Finds what is to be sealed without a look at the rest, however small the planner thinks the ledger.
  ADD CONSTRAINT "ledger_entry_unsealed" EXCLUDE USING btree (company_id WITH =, at WITH =, id WITH =) WHERE (sequence IS NULL);

-- Where each company's chain ends. It tells when the last entries are cut off.
CREATE TABLE "ledger_head" (
    "company_id" UUID NOT NULL,
    "sequence" BIGINT NOT NULL,
    "hash" BYTEA NOT NULL,

    CONSTRAINT "ledger_head_pkey" PRIMARY KEY ("company_id")
);
ALTER TABLE "ledger_head" ADD CONSTRAINT "ledger_head_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- Transactions that have added entries and not sealed them yet: nobody sees a row but its own transaction.
CREATE TABLE "ledger_pending" (
    "company_id" UUID NOT NULL,
    "transaction" BIGINT NOT NULL,

    CONSTRAINT "ledger_pending_pkey" PRIMARY KEY ("company_id","transaction")
);
ALTER TABLE "ledger_pending" ADD CONSTRAINT "ledger_pending_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- What a check of the chain found. A later check holds against it, too.
CREATE TABLE "ledger_check" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "entries" BIGINT NOT NULL,
    "hash" BYTEA NOT NULL,
    "fault" JSONB,

    CONSTRAINT "ledger_check_pkey" PRIMARY KEY ("company_id","id")
);
CREATE INDEX "ledger_check_company_id_at_idx" ON "ledger_check"("company_id", "at");
ALTER TABLE "ledger_check" ADD CONSTRAINT "ledger_check_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "ledger_check" ADD CONSTRAINT "ledger_check_values" CHECK (entries >= 0 AND octet_length(hash) = 32);

DO $$
DECLARE
  t text;
BEGIN
  FOREACH t IN ARRAY ARRAY['ledger_head', 'ledger_pending', 'ledger_check'] LOOP
    EXECUTE format('ALTER TABLE %I ENABLE ROW LEVEL SECURITY', t);
    EXECUTE format('ALTER TABLE %I FORCE ROW LEVEL SECURITY', t);
    EXECUTE format('CREATE POLICY of_company ON %I TO lintel_app USING (company_id = (SELECT app_company_id()) AND (SELECT app_owner_id()) IS NULL) '
      'WITH CHECK (company_id = (SELECT app_company_id()) AND (SELECT app_owner_id()) IS NULL)', t);
    EXECUTE format('CREATE POLICY of_schema_owner ON %I TO CURRENT_USER USING (true) WITH CHECK (true)', t);
  END LOOP;
END $$;

-- The application says who did what; when, in which place and under which seal is the database's to say.
REVOKE INSERT ON "ledger_entry" FROM lintel_app;
GRANT INSERT (company_id, id, account_id, actor, action, subject_kind, subject_id, detail) ON "ledger_entry" TO lintel_app;
GRANT SELECT ON "ledger_head" TO lintel_app;
GRANT SELECT, INSERT ON "ledger_check" TO lintel_app;

-- JSON in one form alone: keys in the order of their UTF-8 bytes, no blanks, numbers as plain decimals without trailing zeros,
-- strings escaped as RFC 8785 asks. The engine's canonicalJson is the same in TypeScript.
CREATE FUNCTION ledger_canonical(p_value jsonb) RETURNS text LANGUAGE plpgsql IMMUTABLE STRICT SET search_path = pg_catalog, public
AS $$
BEGIN
  CASE jsonb_typeof(p_value)
    WHEN 'object' THEN
      RETURN '{' || coalesce((SELECT string_agg(to_jsonb(e.key)::text || ':' || public.ledger_canonical(e.value), ',' ORDER BY e.key COLLATE "C")
        FROM jsonb_each(p_value) e), '') || '}';
    WHEN 'array' THEN
      RETURN '[' || coalesce((SELECT string_agg(public.ledger_canonical(e.value), ',' ORDER BY e.place)
        FROM jsonb_array_elements(p_value) WITH ORDINALITY e(value, place)), '') || ']';
    WHEN 'number' THEN RETURN trim_scale(p_value::numeric)::text;
    ELSE RETURN p_value::text;
  END CASE;
END $$;

-- The seal: SHA-256 over all that the entry says, its place, and the seal before. (Keys stand in order already.)
CREATE FUNCTION ledger_hash(p_entry ledger_entry) RETURNS bytea LANGUAGE sql STABLE SET search_path = pg_catalog, public
AS $$
  SELECT sha256(convert_to(concat(
    '{"accountId":', coalesce(to_jsonb(p_entry.account_id)::text, 'null'),
    ',"action":', to_jsonb(p_entry.action)::text,
    ',"actor":', to_jsonb(p_entry.actor)::text,
    ',"at":"', to_char(p_entry.at AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"'),
    '","companyId":', to_jsonb(p_entry.company_id)::text,
    ',"detail":', public.ledger_canonical(p_entry.detail),
    ',"id":', to_jsonb(p_entry.id)::text,
    ',"previousHash":"', encode(p_entry.previous_hash, 'hex'),
    '","sequence":', p_entry.sequence,
    ',"subjectId":', coalesce(to_jsonb(p_entry.subject_id)::text, 'null'),
    ',"subjectKind":', to_jsonb(p_entry.subject_kind)::text, '}'), 'UTF8'))
$$;

-- Seals what a company's transaction has added. The head is locked here and nowhere else, and as this runs at the commit, it is
-- the last lock that a transaction takes: writers wait for each other's commit alone, and no two wait for each other.
CREATE FUNCTION ledger_seal(p_company_id uuid) RETURNS void LANGUAGE plpgsql SET search_path = pg_catalog, public
AS $$
DECLARE
  head public.ledger_head;
  added record;
  entry public.ledger_entry;
BEGIN
  INSERT INTO public.ledger_head (company_id, sequence, hash) VALUES (p_company_id, 0, decode(repeat('00', 32), 'hex')) ON CONFLICT DO NOTHING;
  SELECT * INTO head FROM public.ledger_head WHERE company_id = p_company_id FOR UPDATE;
  FOR added IN SELECT e.ctid AS place, e AS entry FROM public.ledger_entry e WHERE e.company_id = p_company_id AND e.sequence IS NULL ORDER BY e.at, e.id LOOP
    entry := added.entry;
    entry.sequence := head.sequence + 1;
    entry.previous_hash := head.hash;
    entry.hash := public.ledger_hash(entry);
    -- By its place in the table: a session keeps the plan that it made while the ledger was small, and by key that may go through all of it.
    UPDATE public.ledger_entry SET sequence = entry.sequence, previous_hash = entry.previous_hash, hash = entry.hash WHERE ctid = added.place;
    head.sequence := entry.sequence;
    head.hash := entry.hash;
  END LOOP;
  UPDATE public.ledger_head SET sequence = head.sequence, hash = head.hash WHERE company_id = p_company_id;
END $$;
REVOKE ALL ON FUNCTION ledger_seal(uuid) FROM PUBLIC;

-- Both with the schema owner's rights, since the application may write neither seals nor the head. Nobody can call them but their triggers.
CREATE FUNCTION ledger_note_added() RETURNS trigger LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, public, pg_temp
AS $$
BEGIN
  INSERT INTO public.ledger_pending (company_id, transaction)
    SELECT DISTINCT a.company_id, pg_current_xact_id()::text::bigint FROM added a ON CONFLICT DO NOTHING;
  RETURN NULL;
END $$;
CREATE FUNCTION ledger_seal_added() RETURNS trigger LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, public, pg_temp
AS $$
BEGIN
  PERFORM public.ledger_seal(NEW.company_id);
  DELETE FROM public.ledger_pending WHERE company_id = NEW.company_id AND transaction = NEW.transaction;
  RETURN NULL;
END $$;
REVOKE ALL ON FUNCTION ledger_note_added(), ledger_seal_added() FROM PUBLIC;

-- What was written before there was a chain, in the order of its time.
DO $$
DECLARE
  writer uuid;
BEGIN
  FOR writer IN SELECT DISTINCT company_id FROM ledger_entry ORDER BY 1 LOOP
    PERFORM ledger_seal(writer);
  END LOOP;
END $$;

CREATE TRIGGER "ledger_entry_added" AFTER INSERT ON "ledger_entry" REFERENCING NEW TABLE AS added
  FOR EACH STATEMENT EXECUTE FUNCTION ledger_note_added();
CREATE CONSTRAINT TRIGGER "ledger_pending_seal" AFTER INSERT ON "ledger_pending" DEFERRABLE INITIALLY DEFERRED
  FOR EACH ROW EXECUTE FUNCTION ledger_seal_added();

DROP VIEW ledger_list;
CREATE VIEW ledger_list WITH (security_invoker = true) AS
SELECT e.id, e.sequence, e.at, e.account_id AS "accountId", a.name AS "accountName", e.actor, e.action, e.subject_kind AS "subjectKind",
  e.subject_id AS "subjectId", e.detail, encode(e.previous_hash, 'hex') AS "previousHash", encode(e.hash, 'hex') AS hash
FROM ledger_entry e
LEFT JOIN account a ON a.company_id = e.company_id AND a.id = e.account_id;
GRANT SELECT ON ledger_list TO lintel_app;
