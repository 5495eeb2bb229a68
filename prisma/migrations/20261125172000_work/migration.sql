-- Work orders: what is to be done on a door, the answers and findings of it, images, and the commands that devices send.

CREATE TYPE "WorkKind" AS ENUM ('preventive', 'inspection', 'corrective', 'commissioning');

CREATE TYPE "WorkState" AS ENUM ('planned', 'released', 'started', 'completed', 'reviewed', 'cancelled');

CREATE TYPE "WorkOrigin" AS ENUM ('due', 'finding', 'hand');

CREATE TYPE "FindingSeverity" AS ENUM ('note', 'defect', 'unsafe');

CREATE TYPE "ImageKind" AS ENUM ('photo', 'signature');

CREATE TYPE "WorkTimeKind" AS ENUM ('work', 'travel', 'waiting');

CREATE TYPE "CommandOutcome" AS ENUM ('applied', 'refused', 'contested');

CREATE TABLE "work_counter" (
    "company_id" UUID NOT NULL,
    "next_number" INTEGER NOT NULL DEFAULT 1,
    "change_no" BIGINT NOT NULL DEFAULT 0,

    CONSTRAINT "work_counter_pkey" PRIMARY KEY ("company_id")
);

CREATE TABLE "work_order" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "number" INTEGER NOT NULL,
    "kind" "WorkKind" NOT NULL,
    "state" "WorkState" NOT NULL DEFAULT 'planned',
    "origin" "WorkOrigin" NOT NULL,
    "door_id" UUID NOT NULL,
    "task_id" UUID,
    "title" TEXT NOT NULL,
    "instructions" TEXT,
    "technician_id" UUID,
    "former_ids" UUID[] DEFAULT ARRAY[]::UUID[],
    "planned_on" DATE,
    "planned_start" TIMESTAMPTZ(3),
    "minutes" INTEGER NOT NULL,
    "skills" TEXT[],
    "parts" TEXT[],
    "steps" JSONB NOT NULL DEFAULT '[]',
    "devices" JSONB NOT NULL DEFAULT '[]',
    "passed" BOOLEAN,
    "cancel_reason" TEXT,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "created_by_id" UUID,
    "released_at" TIMESTAMPTZ(3),
    "started_at" TIMESTAMPTZ(3),
    "completed_at" TIMESTAMPTZ(3),
    "completed_by_id" UUID,
    "reviewed_at" TIMESTAMPTZ(3),
    "reviewed_by_id" UUID,
    "cancelled_at" TIMESTAMPTZ(3),
    "completion_id" UUID,
    "change_no" BIGINT NOT NULL DEFAULT 0,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "work_order_pkey" PRIMARY KEY ("company_id","id")
);

CREATE TABLE "work_retest" (
    "company_id" UUID NOT NULL,
    "work_order_id" UUID NOT NULL,
    "finding_id" UUID NOT NULL,

    CONSTRAINT "work_retest_pkey" PRIMARY KEY ("company_id","work_order_id","finding_id")
);

CREATE TABLE "work_answer" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "work_order_id" UUID NOT NULL,
    "step" TEXT NOT NULL,
    "value" JSONB NOT NULL,
    "base_id" UUID,
    "settles_id" UUID,
    "counts" BOOLEAN NOT NULL,
    "account_id" UUID NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "device_at" TIMESTAMPTZ(3),
    "place" BIGSERIAL NOT NULL,

    CONSTRAINT "work_answer_pkey" PRIMARY KEY ("company_id","id")
);

CREATE TABLE "finding" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "door_id" UUID NOT NULL,
    "work_order_id" UUID,
    "step" TEXT,
    "position_id" UUID,
    "severity" "FindingSeverity" NOT NULL,
    "text" TEXT NOT NULL,
    "photos" TEXT[],
    "found_at" TIMESTAMPTZ(3) NOT NULL,
    "account_id" UUID NOT NULL,
    "corrective_id" UUID,
    "cleared_at" TIMESTAMPTZ(3),
    "cleared_by_id" UUID,
    "resolution" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "finding_pkey" PRIMARY KEY ("company_id","id")
);

CREATE TABLE "work_image" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "door_id" UUID NOT NULL,
    "work_order_id" UUID,
    "step" TEXT,
    "kind" "ImageKind" NOT NULL,
    "media_type" TEXT NOT NULL,
    "width" INTEGER NOT NULL,
    "height" INTEGER NOT NULL,
    "byte_count" INTEGER NOT NULL,
    "sha256" BYTEA NOT NULL,
    "image" BYTEA NOT NULL,
    "taken_at" TIMESTAMPTZ(3) NOT NULL,
    "received_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "account_id" UUID NOT NULL,

    CONSTRAINT "work_image_pkey" PRIMARY KEY ("company_id","id")
);

CREATE TABLE "work_signature" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "work_order_id" UUID NOT NULL,
    "image_id" UUID NOT NULL,
    "signer_name" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "device_at" TIMESTAMPTZ(3),
    "account_id" UUID NOT NULL,

    CONSTRAINT "work_signature_pkey" PRIMARY KEY ("company_id","id")
);

CREATE TABLE "work_time" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "work_order_id" UUID NOT NULL,
    "account_id" UUID NOT NULL,
    "kind" "WorkTimeKind" NOT NULL,
    "minutes" INTEGER NOT NULL,
    "started_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "work_time_pkey" PRIMARY KEY ("company_id","id")
);

CREATE TABLE "work_part" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "work_order_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "code" TEXT,
    "name" TEXT,
    "quantity" INTEGER NOT NULL,
    "position_id" UUID,

    CONSTRAINT "work_part_pkey" PRIMARY KEY ("company_id","id")
);

CREATE TABLE "device_command" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "account_id" UUID NOT NULL,
    "device" TEXT NOT NULL,
    "work_order_id" UUID,
    "command" JSONB NOT NULL,
    "made_at" TIMESTAMPTZ(3) NOT NULL,
    "received_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "outcome" "CommandOutcome" NOT NULL,
    "answer" JSONB NOT NULL,
    "place" BIGSERIAL NOT NULL,

    CONSTRAINT "device_command_pkey" PRIMARY KEY ("company_id","id")
);

CREATE TABLE "manual" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "door_type_id" UUID NOT NULL,
    "title" TEXT NOT NULL,
    "body" TEXT NOT NULL,
    "source" TEXT NOT NULL,
    "archived_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "manual_pkey" PRIMARY KEY ("company_id","id")
);

CREATE INDEX "work_order_company_id_door_id_idx" ON "work_order"("company_id", "door_id");

CREATE INDEX "work_order_company_id_technician_id_state_idx" ON "work_order"("company_id", "technician_id", "state");

CREATE INDEX "work_order_company_id_change_no_idx" ON "work_order"("company_id", "change_no");

CREATE INDEX "work_order_company_id_planned_on_idx" ON "work_order"("company_id", "planned_on");

CREATE UNIQUE INDEX "work_order_number" ON "work_order"("company_id", "number");

CREATE UNIQUE INDEX "work_answer_of_order" ON "work_answer"("company_id", "work_order_id", "id");

CREATE INDEX "finding_company_id_door_id_idx" ON "finding"("company_id", "door_id");

CREATE INDEX "finding_company_id_work_order_id_idx" ON "finding"("company_id", "work_order_id");

CREATE INDEX "work_image_company_id_work_order_id_idx" ON "work_image"("company_id", "work_order_id");

CREATE INDEX "work_signature_company_id_work_order_id_idx" ON "work_signature"("company_id", "work_order_id");

CREATE INDEX "work_time_company_id_work_order_id_idx" ON "work_time"("company_id", "work_order_id");

CREATE INDEX "work_part_company_id_work_order_id_idx" ON "work_part"("company_id", "work_order_id");

CREATE INDEX "device_command_company_id_work_order_id_idx" ON "device_command"("company_id", "work_order_id");

CREATE UNIQUE INDEX "manual_title" ON "manual"("company_id", "door_type_id", "title");

ALTER TABLE "work_counter" ADD CONSTRAINT "work_counter_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_order" ADD CONSTRAINT "work_order_company_id_door_id_fkey" FOREIGN KEY ("company_id", "door_id") REFERENCES "door"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_order" ADD CONSTRAINT "work_order_company_id_task_id_fkey" FOREIGN KEY ("company_id", "task_id") REFERENCES "task"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_order" ADD CONSTRAINT "work_order_company_id_technician_id_fkey" FOREIGN KEY ("company_id", "technician_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_order" ADD CONSTRAINT "work_order_company_id_created_by_id_fkey" FOREIGN KEY ("company_id", "created_by_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_order" ADD CONSTRAINT "work_order_company_id_completed_by_id_fkey" FOREIGN KEY ("company_id", "completed_by_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_order" ADD CONSTRAINT "work_order_company_id_reviewed_by_id_fkey" FOREIGN KEY ("company_id", "reviewed_by_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_order" ADD CONSTRAINT "work_order_company_id_completion_id_fkey" FOREIGN KEY ("company_id", "completion_id") REFERENCES "completion"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_retest" ADD CONSTRAINT "work_retest_company_id_work_order_id_fkey" FOREIGN KEY ("company_id", "work_order_id") REFERENCES "work_order"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_retest" ADD CONSTRAINT "work_retest_company_id_finding_id_fkey" FOREIGN KEY ("company_id", "finding_id") REFERENCES "finding"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_answer" ADD CONSTRAINT "work_answer_company_id_work_order_id_fkey" FOREIGN KEY ("company_id", "work_order_id") REFERENCES "work_order"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_answer" ADD CONSTRAINT "work_answer_company_id_work_order_id_base_id_fkey" FOREIGN KEY ("company_id", "work_order_id", "base_id") REFERENCES "work_answer"("company_id", "work_order_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_answer" ADD CONSTRAINT "work_answer_company_id_work_order_id_settles_id_fkey" FOREIGN KEY ("company_id", "work_order_id", "settles_id") REFERENCES "work_answer"("company_id", "work_order_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_answer" ADD CONSTRAINT "work_answer_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "finding" ADD CONSTRAINT "finding_company_id_door_id_fkey" FOREIGN KEY ("company_id", "door_id") REFERENCES "door"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "finding" ADD CONSTRAINT "finding_company_id_work_order_id_fkey" FOREIGN KEY ("company_id", "work_order_id") REFERENCES "work_order"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "finding" ADD CONSTRAINT "finding_company_id_position_id_fkey" FOREIGN KEY ("company_id", "position_id") REFERENCES "position"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "finding" ADD CONSTRAINT "finding_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "finding" ADD CONSTRAINT "finding_company_id_corrective_id_fkey" FOREIGN KEY ("company_id", "corrective_id") REFERENCES "work_order"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "finding" ADD CONSTRAINT "finding_company_id_cleared_by_id_fkey" FOREIGN KEY ("company_id", "cleared_by_id") REFERENCES "work_order"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_image" ADD CONSTRAINT "work_image_company_id_door_id_fkey" FOREIGN KEY ("company_id", "door_id") REFERENCES "door"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_image" ADD CONSTRAINT "work_image_company_id_work_order_id_fkey" FOREIGN KEY ("company_id", "work_order_id") REFERENCES "work_order"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_image" ADD CONSTRAINT "work_image_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_signature" ADD CONSTRAINT "work_signature_company_id_work_order_id_fkey" FOREIGN KEY ("company_id", "work_order_id") REFERENCES "work_order"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_signature" ADD CONSTRAINT "work_signature_company_id_image_id_fkey" FOREIGN KEY ("company_id", "image_id") REFERENCES "work_image"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_signature" ADD CONSTRAINT "work_signature_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_time" ADD CONSTRAINT "work_time_company_id_work_order_id_fkey" FOREIGN KEY ("company_id", "work_order_id") REFERENCES "work_order"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_time" ADD CONSTRAINT "work_time_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_part" ADD CONSTRAINT "work_part_company_id_work_order_id_fkey" FOREIGN KEY ("company_id", "work_order_id") REFERENCES "work_order"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "work_part" ADD CONSTRAINT "work_part_company_id_position_id_fkey" FOREIGN KEY ("company_id", "position_id") REFERENCES "position"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "device_command" ADD CONSTRAINT "device_command_company_id_work_order_id_fkey" FOREIGN KEY ("company_id", "work_order_id") REFERENCES "work_order"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "device_command" ADD CONSTRAINT "device_command_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "manual" ADD CONSTRAINT "manual_company_id_door_type_id_fkey" FOREIGN KEY ("company_id", "door_type_id") REFERENCES "door_type"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

CREATE INDEX "work_answer_contested" ON "work_answer"("company_id", "work_order_id", "step") WHERE NOT counts;
CREATE INDEX "finding_open_unsafe" ON "finding"("company_id", "door_id") WHERE severity = 'unsafe' AND cleared_at IS NULL;

ALTER TABLE "work_order" ADD CONSTRAINT "work_order_values" CHECK (
  number >= 1 AND minutes >= 1 AND jsonb_typeof(steps) = 'array' AND jsonb_typeof(devices) = 'array'
  AND (state IN ('completed', 'reviewed')) = (passed IS NOT NULL)
  AND (state = 'cancelled') = (cancel_reason IS NOT NULL)
  AND (state = 'planned' OR state = 'cancelled' OR (released_at IS NOT NULL AND jsonb_array_length(steps) > 0)));
ALTER TABLE "finding" ADD CONSTRAINT "finding_values" CHECK (text <> '' AND (cleared_at IS NOT NULL OR (cleared_by_id IS NULL AND resolution IS NULL))
  AND (severity <> 'unsafe' OR cleared_at IS NULL OR cleared_by_id IS NOT NULL));
ALTER TABLE "work_image" ADD CONSTRAINT "work_image_values" CHECK (octet_length(image) = byte_count AND byte_count BETWEEN 1 AND 4194304
  AND octet_length(sha256) = 32 AND width > 0 AND height > 0 AND media_type IN ('image/jpeg', 'image/png', 'image/webp'));
ALTER TABLE "work_time" ADD CONSTRAINT "work_time_minutes" CHECK (minutes BETWEEN 1 AND 1440);
ALTER TABLE "work_part" ADD CONSTRAINT "work_part_quantity" CHECK (quantity >= 1);
-- Only an answer that counts settles a contradiction.
ALTER TABLE "work_answer" ADD CONSTRAINT "work_answer_settles" CHECK (settles_id IS NULL OR settles_id <> id);

-- An owner sees what concerns its doors, but neither hours nor what devices sent.
CREATE FUNCTION app_owner_orders() RETURNS uuid[] LANGUAGE sql STABLE AS $$ SELECT array_agg(id) FROM work_order $$;

DO $$
DECLARE
  of_door constant text[] := ARRAY['work_order', 'finding', 'work_image'];
  of_order constant text[] := ARRAY['work_retest', 'work_answer', 'work_signature', 'work_part'];
  of_staff constant text[] := ARRAY['work_counter', 'work_time', 'device_command', 'manual'];
  changed constant text[] := ARRAY['work_order', 'finding', 'work_counter', 'manual'];
  t text;
  rule text;
BEGIN
  FOR t IN SELECT unnest(of_door || of_order || of_staff) LOOP
    rule := format('company_id = (SELECT app_company_id()) AND ((SELECT app_owner_id()) IS NULL%s)',
      CASE WHEN t = ANY (of_door) THEN ' OR door_id = ANY ((SELECT app_owner_doors())::uuid[])'
        WHEN t = ANY (of_order) THEN ' OR work_order_id = ANY ((SELECT app_owner_orders())::uuid[])' ELSE '' END);
    EXECUTE format('ALTER TABLE %I ENABLE ROW LEVEL SECURITY', t);
    EXECUTE format('ALTER TABLE %I FORCE ROW LEVEL SECURITY', t);
    EXECUTE format('CREATE POLICY of_company ON %I TO lintel_app USING (%s) WITH CHECK (%s)', t, rule, rule);
    EXECUTE format('CREATE POLICY of_schema_owner ON %I TO CURRENT_USER USING (true) WITH CHECK (true)', t);
    EXECUTE format('GRANT %s ON %I TO lintel_app', CASE WHEN t = ANY (changed) THEN 'SELECT, INSERT, UPDATE' ELSE 'SELECT, INSERT' END, t);
  END LOOP;
END $$;
GRANT USAGE ON SEQUENCE work_answer_place_seq, device_command_place_seq TO lintel_app;

-- Contradictions that nobody has settled: an answer that does not count, with the one that stands. Of one person the last is meant.
CREATE VIEW work_conflict WITH (security_invoker = true) AS
SELECT a.company_id, a.work_order_id, a.step, a.id AS contested_id,
  (SELECT s.id FROM work_answer s WHERE s.company_id = a.company_id AND s.work_order_id = a.work_order_id AND s.step = a.step AND s.counts
    ORDER BY s.place DESC LIMIT 1) AS standing_id
FROM work_answer a
WHERE NOT a.counts
  AND NOT EXISTS (SELECT FROM work_answer s WHERE s.company_id = a.company_id AND s.work_order_id = a.work_order_id
    AND s.settles_id = a.id AND s.counts)
  AND NOT EXISTS (SELECT FROM work_answer l WHERE l.company_id = a.company_id AND l.work_order_id = a.work_order_id AND l.step = a.step
    AND l.account_id = a.account_id AND NOT l.counts AND l.place > a.place);

CREATE VIEW work_order_list WITH (security_invoker = true) AS
SELECT o.id, o.number, o.kind::text AS kind, o.state::text AS state, o.origin::text AS origin, o.door_id AS "doorId", d.name AS "doorName",
  d.site_id AS "siteId", s.name AS "siteName", s.time_zone AS "timeZone", s.owner_id AS "ownerId", w.name AS "ownerName",
  o.task_id AS "taskId", t.name AS "taskName", o.title, o.instructions, o.technician_id AS "technicianId", a.name AS "technicianName",
  o.planned_on AS "plannedOn", o.planned_start AS "plannedStart", o.minutes, o.skills, o.parts, o.passed, o.cancel_reason AS "cancelReason",
  o.created_at AS "createdAt", o.created_by_id AS "createdById", ac.name AS "createdByName", o.released_at AS "releasedAt",
  o.started_at AS "startedAt", o.completed_at AS "completedAt", o.completed_by_id AS "completedById", ad.name AS "completedByName",
  o.reviewed_at AS "reviewedAt", o.reviewed_by_id AS "reviewedById", ar.name AS "reviewedByName", o.cancelled_at AS "cancelledAt",
  o.completion_id AS "completionId", jsonb_array_length(o.steps) AS "stepCount",
  (SELECT count(DISTINCT x.step)::int FROM work_answer x WHERE x.company_id = o.company_id AND x.work_order_id = o.id AND x.counts) AS "answeredCount",
  (SELECT count(*)::int FROM work_conflict c WHERE c.company_id = o.company_id AND c.work_order_id = o.id) AS "conflictCount",
  (SELECT count(*)::int FROM finding f WHERE f.company_id = o.company_id AND f.work_order_id = o.id) AS "findingCount",
  o.version, o.kind AS "kindWord", o.state AS "stateWord", o.origin AS "originWord", o.technician_id IS NOT NULL AS assigned,
  EXISTS (SELECT FROM work_conflict c WHERE c.company_id = o.company_id AND c.work_order_id = o.id) AS conflicted,
  o.planned_on IS NOT NULL AS dated,
  COALESCE(o.state IN ('planned', 'released', 'started') AND o.planned_on < (now() AT TIME ZONE s.time_zone)::date, false) AS overdue
FROM work_order o
LEFT JOIN door d ON d.company_id = o.company_id AND d.id = o.door_id
LEFT JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
LEFT JOIN owner w ON w.company_id = s.company_id AND w.id = s.owner_id
LEFT JOIN task t ON t.company_id = o.company_id AND t.id = o.task_id
LEFT JOIN account a ON a.company_id = o.company_id AND a.id = o.technician_id
LEFT JOIN account ac ON ac.company_id = o.company_id AND ac.id = o.created_by_id
LEFT JOIN account ad ON ad.company_id = o.company_id AND ad.id = o.completed_by_id
LEFT JOIN account ar ON ar.company_id = o.company_id AND ar.id = o.reviewed_by_id;

CREATE VIEW finding_list WITH (security_invoker = true) AS
SELECT f.id, f.door_id AS "doorId", d.name AS "doorName", d.site_id AS "siteId", s.name AS "siteName", s.owner_id AS "ownerId",
  w.name AS "ownerName", f.work_order_id AS "workOrderId", o.number AS "workOrderNumber", f.step AS "stepId", f.position_id AS "positionId",
  p.name AS "positionName", f.severity::text AS severity, f.text, coalesce(f.photos, '{}') AS "photoIds", f.found_at AS "foundAt",
  f.account_id AS "accountId", a.name AS "accountName", f.corrective_id AS "correctiveId", c.number AS "correctiveNumber",
  f.cleared_at IS NULL AS open, f.cleared_at AS "clearedAt", f.cleared_by_id AS "clearedById", f.resolution, f.version,
  f.severity AS "severityWord"
FROM finding f
LEFT JOIN door d ON d.company_id = f.company_id AND d.id = f.door_id
LEFT JOIN site s ON s.company_id = d.company_id AND s.id = d.site_id
LEFT JOIN owner w ON w.company_id = s.company_id AND w.id = s.owner_id
LEFT JOIN work_order o ON o.company_id = f.company_id AND o.id = f.work_order_id
LEFT JOIN work_order c ON c.company_id = f.company_id AND c.id = f.corrective_id
LEFT JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id
LEFT JOIN account a ON a.company_id = f.company_id AND a.id = f.account_id;

CREATE VIEW work_image_list WITH (security_invoker = true) AS
SELECT i.id, i.door_id AS "doorId", i.work_order_id AS "workOrderId", i.step AS "stepId", i.kind::text AS kind, i.media_type AS "mediaType",
  i.width, i.height, i.byte_count AS "byteCount", encode(i.sha256, 'hex') AS sha256, i.taken_at AS "takenAt", i.received_at AS "receivedAt",
  i.account_id AS "accountId", a.name AS "accountName"
FROM work_image i LEFT JOIN account a ON a.company_id = i.company_id AND a.id = i.account_id;

CREATE VIEW manual_list WITH (security_invoker = true) AS
SELECT m.id, m.door_type_id AS "doorTypeId", t.name AS "doorTypeName", m.title, m.body, m.source, m.archived_at IS NOT NULL AS archived,
  m.archived_at AS "archivedAt", m.version
FROM manual m LEFT JOIN door_type t ON t.company_id = m.company_id AND t.id = m.door_type_id;

GRANT SELECT ON work_conflict, work_order_list, finding_list, work_image_list, manual_list TO lintel_app;
