-- Routes: technicians with homes, hours and absences, hours of sites, plans with their visits, travel, calendars; and what
-- lies in the vans.

CREATE TYPE "RoutePlanState" AS ENUM ('waiting', 'solving', 'draft', 'accepted', 'published', 'superseded', 'discarded', 'failed');

CREATE TABLE "technician" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "home_latitude" DECIMAL(8,5) NOT NULL,
    "home_longitude" DECIMAL(8,5) NOT NULL,
    "time_zone" TEXT NOT NULL,
    "skills" TEXT[],
    "shifts" JSONB NOT NULL DEFAULT '[]',
    "van_load_kg" INTEGER,
    "archived_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "technician_pkey" PRIMARY KEY ("company_id","id")
);

CREATE TABLE "technician_absence" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "technician_id" UUID NOT NULL,
    "from_on" DATE NOT NULL,
    "to_on" DATE NOT NULL,
    "note" TEXT,
    "archived_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "technician_absence_pkey" PRIMARY KEY ("company_id","id")
);

CREATE TABLE "site_window" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "weekday" INTEGER NOT NULL,
    "opens_at" TEXT NOT NULL,
    "closes_at" TEXT NOT NULL,
    "note" TEXT,
    "archived_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "site_window_pkey" PRIMARY KEY ("company_id","id")
);

CREATE TABLE "route_plan" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "state" "RoutePlanState" NOT NULL,
    "from_on" DATE NOT NULL,
    "days" INTEGER NOT NULL,
    "seed" INTEGER NOT NULL,
    "budget_seconds" INTEGER NOT NULL,
    "settings" JSONB NOT NULL,
    "base_plan_id" UUID,
    "replanning" JSONB,
    "problem" JSONB,
    "notices" JSONB NOT NULL DEFAULT '[]',
    "fraction" DOUBLE PRECISION NOT NULL DEFAULT 0,
    "iterations" INTEGER NOT NULL DEFAULT 0,
    "cost" BIGINT,
    "travel_cost" BIGINT,
    "currency" CHAR(3) NOT NULL,
    "error" TEXT,
    "job_run" UUID,
    "account_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "solved_at" TIMESTAMPTZ(3),
    "accepted_at" TIMESTAMPTZ(3),
    "published_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "route_plan_pkey" PRIMARY KEY ("company_id","id")
);

CREATE TABLE "route_visit" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "plan_id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "technician_id" UUID,
    "on_date" DATE,
    "ordinal" INTEGER,
    "arrive_at" TIMESTAMPTZ(3),
    "start_at" TIMESTAMPTZ(3),
    "leave_at" TIMESTAMPTZ(3),
    "travel_minutes" DOUBLE PRECISION,
    "travel_km" DOUBLE PRECISION,
    "waiting_minutes" DOUBLE PRECISION,
    "slack_minutes" DOUBLE PRECISION,
    "minutes" DOUBLE PRECISION NOT NULL,
    "skills" TEXT[],
    "items" JSONB NOT NULL,
    "parts" JSONB NOT NULL DEFAULT '[]',
    "costs" JSONB NOT NULL DEFAULT '{}',
    "reason" TEXT,
    "locked" BOOLEAN NOT NULL DEFAULT false,
    "started_at" TIMESTAMPTZ(3),
    "published_at" TIMESTAMPTZ(3),

    CONSTRAINT "route_visit_pkey" PRIMARY KEY ("company_id","id")
);

CREATE TABLE "travel_leg" (
    "company_id" UUID NOT NULL,
    "from_latitude" DECIMAL(8,5) NOT NULL,
    "from_longitude" DECIMAL(8,5) NOT NULL,
    "to_latitude" DECIMAL(8,5) NOT NULL,
    "to_longitude" DECIMAL(8,5) NOT NULL,
    "minutes" DOUBLE PRECISION NOT NULL,
    "km" DOUBLE PRECISION NOT NULL,
    "asked_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "travel_leg_pkey" PRIMARY KEY ("company_id","from_latitude","from_longitude","to_latitude","to_longitude")
);

CREATE TABLE "travel_given" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "from_site_id" UUID,
    "from_technician_id" UUID,
    "to_site_id" UUID,
    "to_technician_id" UUID,
    "minutes" DOUBLE PRECISION NOT NULL,
    "km" DOUBLE PRECISION,

    CONSTRAINT "travel_given_pkey" PRIMARY KEY ("company_id","id")
);

CREATE TABLE "calendar_feed" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "technician_id" UUID NOT NULL,
    "token_hash" BYTEA NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "revoked_at" TIMESTAMPTZ(3),

    CONSTRAINT "calendar_feed_pkey" PRIMARY KEY ("company_id","id")
);

CREATE TABLE "stock_part" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "code" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "cost" BIGINT,
    "currency" CHAR(3),
    "weight_kg" DECIMAL(7,2),
    "archived_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "stock_part_pkey" PRIMARY KEY ("company_id","id")
);

CREATE TABLE "van_stock" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "technician_id" UUID NOT NULL,
    "part_id" UUID NOT NULL,
    "quantity" INTEGER NOT NULL,
    "counted_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "van_stock_pkey" PRIMARY KEY ("company_id","id")
);

CREATE INDEX "technician_absence_company_id_technician_id_from_on_idx" ON "technician_absence"("company_id", "technician_id", "from_on");
CREATE INDEX "site_window_company_id_site_id_weekday_idx" ON "site_window"("company_id", "site_id", "weekday");
CREATE INDEX "route_plan_company_id_from_on_idx" ON "route_plan"("company_id", "from_on");
CREATE INDEX "route_visit_company_id_plan_id_idx" ON "route_visit"("company_id", "plan_id");
CREATE INDEX "route_visit_company_id_technician_id_start_at_idx" ON "route_visit"("company_id", "technician_id", "start_at");
CREATE INDEX "route_visit_company_id_site_id_start_at_idx" ON "route_visit"("company_id", "site_id", "start_at");
CREATE UNIQUE INDEX "calendar_feed_token" ON "calendar_feed"("token_hash");
CREATE INDEX "calendar_feed_company_id_technician_id_idx" ON "calendar_feed"("company_id", "technician_id");
CREATE UNIQUE INDEX "van_stock_once" ON "van_stock"("company_id", "technician_id", "part_id");

ALTER TABLE "technician" ADD CONSTRAINT "technician_company_id_id_fkey" FOREIGN KEY ("company_id", "id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "technician_absence" ADD CONSTRAINT "technician_absence_company_id_technician_id_fkey" FOREIGN KEY ("company_id", "technician_id") REFERENCES "technician"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "site_window" ADD CONSTRAINT "site_window_company_id_site_id_fkey" FOREIGN KEY ("company_id", "site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "route_plan" ADD CONSTRAINT "route_plan_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "route_plan" ADD CONSTRAINT "route_plan_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "route_plan" ADD CONSTRAINT "route_plan_company_id_base_plan_id_fkey" FOREIGN KEY ("company_id", "base_plan_id") REFERENCES "route_plan"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "route_visit" ADD CONSTRAINT "route_visit_company_id_plan_id_fkey" FOREIGN KEY ("company_id", "plan_id") REFERENCES "route_plan"("company_id", "id") ON DELETE CASCADE ON UPDATE CASCADE;
ALTER TABLE "route_visit" ADD CONSTRAINT "route_visit_company_id_site_id_fkey" FOREIGN KEY ("company_id", "site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "route_visit" ADD CONSTRAINT "route_visit_company_id_technician_id_fkey" FOREIGN KEY ("company_id", "technician_id") REFERENCES "technician"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "travel_leg" ADD CONSTRAINT "travel_leg_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "travel_given" ADD CONSTRAINT "travel_given_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "travel_given" ADD CONSTRAINT "travel_given_company_id_from_site_id_fkey" FOREIGN KEY ("company_id", "from_site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "travel_given" ADD CONSTRAINT "travel_given_company_id_to_site_id_fkey" FOREIGN KEY ("company_id", "to_site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "travel_given" ADD CONSTRAINT "travel_given_company_id_from_technician_id_fkey" FOREIGN KEY ("company_id", "from_technician_id") REFERENCES "technician"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "travel_given" ADD CONSTRAINT "travel_given_company_id_to_technician_id_fkey" FOREIGN KEY ("company_id", "to_technician_id") REFERENCES "technician"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "calendar_feed" ADD CONSTRAINT "calendar_feed_company_id_technician_id_fkey" FOREIGN KEY ("company_id", "technician_id") REFERENCES "technician"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_part" ADD CONSTRAINT "stock_part_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "van_stock" ADD CONSTRAINT "van_stock_company_id_technician_id_fkey" FOREIGN KEY ("company_id", "technician_id") REFERENCES "technician"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "van_stock" ADD CONSTRAINT "van_stock_company_id_part_id_fkey" FOREIGN KEY ("company_id", "part_id") REFERENCES "stock_part"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "technician"
  ADD CONSTRAINT "technician_home" CHECK (home_latitude BETWEEN -90 AND 90 AND home_longitude BETWEEN -180 AND 180),
  ADD CONSTRAINT "technician_load" CHECK (van_load_kg >= 0);
ALTER TABLE "technician_absence" ADD CONSTRAINT "technician_absence_days" CHECK (to_on >= from_on);
ALTER TABLE "site_window" ADD CONSTRAINT "site_window_hours" CHECK (weekday BETWEEN 1 AND 7
  AND opens_at ~ '^([01][0-9]|2[0-3]):[0-5][0-9]$' AND closes_at ~ '^(([01][0-9]|2[0-3]):[0-5][0-9]|24:00)$' AND opens_at < closes_at);
ALTER TABLE "route_plan"
  ADD CONSTRAINT "route_plan_days" CHECK (days BETWEEN 1 AND 31),
  ADD CONSTRAINT "route_plan_base" CHECK ((base_plan_id IS NULL) = (replanning IS NULL)),
  ADD CONSTRAINT "route_plan_published" CHECK (published_at IS NULL OR accepted_at IS NOT NULL);
ALTER TABLE "route_visit"
  ADD CONSTRAINT "route_visit_place" CHECK (num_nulls(technician_id, on_date, ordinal, arrive_at, start_at, leave_at) IN (0, 6)),
  ADD CONSTRAINT "route_visit_times" CHECK (arrive_at <= start_at AND start_at <= leave_at),
  ADD CONSTRAINT "route_visit_kept" CHECK (technician_id IS NOT NULL OR (NOT locked AND started_at IS NULL AND published_at IS NULL));
ALTER TABLE "travel_leg" ADD CONSTRAINT "travel_leg_length" CHECK (minutes >= 0 AND km >= 0);
ALTER TABLE "travel_given"
  ADD CONSTRAINT "travel_given_ends" CHECK (num_nonnulls(from_site_id, from_technician_id) = 1 AND num_nonnulls(to_site_id, to_technician_id) = 1),
  ADD CONSTRAINT "travel_given_length" CHECK (minutes >= 0 AND km >= 0);
CREATE UNIQUE INDEX "travel_given_once" ON "travel_given"("company_id", coalesce("from_site_id", "from_technician_id"), coalesce("to_site_id", "to_technician_id"));
CREATE UNIQUE INDEX "stock_part_code" ON "stock_part"("company_id", lower("code"));
ALTER TABLE "stock_part" ADD CONSTRAINT "stock_part_cost" CHECK (num_nulls(cost, currency) IN (0, 2) AND coalesce(cost, 0) >= 0 AND coalesce(weight_kg, 0) >= 0);
ALTER TABLE "van_stock" ADD CONSTRAINT "van_stock_quantity" CHECK (quantity >= 0);

-- Routes and stock are the company's own book. An owner sees the hours of its sites, and of the visits those to its own
-- sites that were published.
DO $$
DECLARE
  scopes constant jsonb := '{
    "site_window": "EXISTS (SELECT FROM site s WHERE s.company_id = site_window.company_id AND s.id = site_window.site_id)",
    "route_visit": "(published_at IS NOT NULL AND EXISTS (SELECT FROM site s WHERE s.company_id = route_visit.company_id AND s.id = route_visit.site_id))"
  }';
  t text;
BEGIN
  FOREACH t IN ARRAY ARRAY['technician', 'technician_absence', 'site_window', 'route_plan', 'route_visit', 'travel_leg', 'travel_given',
    'calendar_feed', 'stock_part', 'van_stock'] LOOP
    EXECUTE format('ALTER TABLE %I ENABLE ROW LEVEL SECURITY', t);
    EXECUTE format('ALTER TABLE %I FORCE ROW LEVEL SECURITY', t);
    EXECUTE format('CREATE POLICY of_company ON %1$I TO lintel_app USING (company_id = (SELECT app_company_id()) AND %2$s) '
      'WITH CHECK (company_id = (SELECT app_company_id()) AND %2$s)', t,
      CASE WHEN scopes ? t THEN format('((SELECT app_owner_id()) IS NULL OR %s)', scopes ->> t) ELSE '(SELECT app_owner_id()) IS NULL' END);
    EXECUTE format('CREATE POLICY of_schema_owner ON %I TO CURRENT_USER USING (true) WITH CHECK (true)', t);
    EXECUTE format('GRANT SELECT, INSERT, UPDATE, DELETE ON %I TO lintel_app', t);
  END LOOP;
END $$;

-- Whoever holds a calendar's address has no session: which company and technician it is of, while it is not revoked.
CREATE FUNCTION gate_calendar_feed(p_token_hash bytea) RETURNS TABLE (company_id uuid, technician_id uuid, name text)
  LANGUAGE sql STABLE SECURITY DEFINER SET search_path = public, pg_temp
  AS $$ SELECT f.company_id, f.technician_id, a.name
    FROM calendar_feed f JOIN technician t ON t.company_id = f.company_id AND t.id = f.technician_id
    JOIN account a ON a.company_id = t.company_id AND a.id = t.id
    WHERE f.token_hash = p_token_hash AND f.revoked_at IS NULL AND t.archived_at IS NULL AND a.active $$;
REVOKE ALL ON FUNCTION gate_calendar_feed(bytea) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION gate_calendar_feed(bytea) TO lintel_app;

CREATE VIEW technician_list WITH (security_invoker = true) AS
SELECT t.id, a.name, a.email, a.active, t.home_latitude AS "homeLatitude", t.home_longitude AS "homeLongitude",
  t.time_zone AS "timeZone", t.skills, t.shifts, t.van_load_kg AS "vanLoadKg", t.archived_at IS NOT NULL AS archived,
  t.archived_at AS "archivedAt", t.version
FROM technician t JOIN account a ON a.company_id = t.company_id AND a.id = t.id;

CREATE VIEW technician_absence_list WITH (security_invoker = true) AS
SELECT b.id, b.technician_id AS "technicianId", a.name AS "technicianName", b.from_on AS "fromOn", b.to_on AS "toOn", b.note,
  b.archived_at IS NOT NULL AS archived, b.archived_at AS "archivedAt", b.version
FROM technician_absence b LEFT JOIN account a ON a.company_id = b.company_id AND a.id = b.technician_id;

CREATE VIEW site_window_list WITH (security_invoker = true) AS
SELECT w.id, w.site_id AS "siteId", s.name AS "siteName", w.weekday, w.opens_at AS "opensAt", w.closes_at AS "closesAt", w.note,
  w.archived_at IS NOT NULL AS archived, w.archived_at AS "archivedAt", w.version
FROM site_window w LEFT JOIN site s ON s.company_id = w.company_id AND s.id = w.site_id;

CREATE VIEW route_plan_list WITH (security_invoker = true) AS
SELECT p.id, p.name, p.state::text AS state, p.from_on AS "fromOn", p.days, p.seed, p.budget_seconds AS "budgetSeconds",
  p.settings, p.base_plan_id AS "basePlanId", p.replanning, p.notices, p.fraction, p.iterations, p.cost,
  p.travel_cost AS "travelCost", p.currency::text AS currency, p.error, p.job_run AS "jobId", p.account_id AS "accountId",
  a.name AS "accountName", p.created_at AS "createdAt", p.solved_at AS "solvedAt", p.accepted_at AS "acceptedAt",
  p.published_at AS "publishedAt", p.version, v.visits, v.unserved, p.state AS "stateWord"
FROM route_plan p
LEFT JOIN account a ON a.company_id = p.company_id AND a.id = p.account_id
LEFT JOIN LATERAL (SELECT count(*) FILTER (WHERE v.technician_id IS NOT NULL)::int AS visits,
  count(*) FILTER (WHERE v.technician_id IS NULL)::int AS unserved
  FROM route_visit v WHERE v.company_id = p.company_id AND v.plan_id = p.id) v ON true;

-- What was published, for those who go there and those who are gone to. An owner does not see the company's people.
CREATE VIEW published_visit_list WITH (security_invoker = true) AS
SELECT v.id, v.site_id AS "siteId", s.name AS "siteName", s.time_zone AS "timeZone", v.technician_id AS "technicianId",
  a.name AS "technicianName", v.start_at AS "startAt", v.leave_at AS "leaveAt", v.items, v.started_at AS "startedAt",
  v.published_at AS "publishedAt"
FROM route_visit v
LEFT JOIN site s ON s.company_id = v.company_id AND s.id = v.site_id
LEFT JOIN account a ON a.company_id = v.company_id AND a.id = v.technician_id
WHERE v.published_at IS NOT NULL;

CREATE VIEW calendar_feed_list WITH (security_invoker = true) AS
SELECT f.id, f.technician_id AS "technicianId", a.name AS "technicianName", f.created_at AS "createdAt", f.revoked_at AS "revokedAt",
  f.revoked_at IS NOT NULL AS revoked
FROM calendar_feed f LEFT JOIN account a ON a.company_id = f.company_id AND a.id = f.technician_id;

CREATE VIEW stock_part_list WITH (security_invoker = true) AS
SELECT p.id, p.code, p.kind, p.name, p.cost, p.currency::text AS currency, p.weight_kg AS "weightKg",
  p.archived_at IS NOT NULL AS archived, p.archived_at AS "archivedAt", p.version
FROM stock_part p;

CREATE VIEW van_stock_list WITH (security_invoker = true) AS
SELECT v.id, v.technician_id AS "technicianId", a.name AS "technicianName", v.part_id AS "partId", p.code, p.kind, p.name AS "partName",
  v.quantity, v.counted_at AS "countedAt", v.version
FROM van_stock v
LEFT JOIN account a ON a.company_id = v.company_id AND a.id = v.technician_id
LEFT JOIN stock_part p ON p.company_id = v.company_id AND p.id = v.part_id;

GRANT SELECT ON technician_list, technician_absence_list, site_window_list, route_plan_list, published_visit_list,
  calendar_feed_list, stock_part_list, van_stock_list TO lintel_app;
