
-- CreateEnum
CREATE TYPE "ReadingSource" AS ENUM ('form', 'file', 'post', 'wire');

-- CreateEnum
CREATE TYPE "Verdict" AS ENUM ('used_rollover', 'used_reset', 'duplicate', 'out_of_order', 'too_fast', 'mistyped', 'stuck', 'set_aside');

-- CreateEnum
CREATE TYPE "ImportKind" AS ENUM ('doors', 'readings', 'parts');

-- CreateEnum
CREATE TYPE "ImportState" AS ENUM ('uploading', 'uploaded', 'waiting', 'running', 'done', 'failed', 'cancelled');

-- CreateEnum
CREATE TYPE "Units" AS ENUM ('metric', 'us');

-- CreateEnum
CREATE TYPE "TemperatureClass" AS ENUM ('freezer', 'cooler', 'ambient', 'outdoor');

-- CreateEnum
CREATE TYPE "DoorKind" AS ENUM ('freezer', 'cooler', 'dock');

-- CreateEnum
CREATE TYPE "DoorState" AS ENUM ('in_service', 'out_of_service', 'decommissioned');

-- CreateEnum
CREATE TYPE "RemovalReason" AS ENUM ('failed', 'worn', 'preventive', 'damaged', 'upgraded', 'entered_in_error');

-- CreateEnum
CREATE TYPE "RunState" AS ENUM ('waiting', 'running', 'done', 'failed', 'cancelled');

-- CreateEnum
CREATE TYPE "Role" AS ENUM ('planner', 'technician', 'owner', 'administrator');

-- CreateEnum
CREATE TYPE "TaskAnchor" AS ENUM ('completion', 'fixed');

-- CreateEnum
CREATE TYPE "AgeUnit" AS ENUM ('cycles', 'days');

-- CreateEnum
CREATE TYPE "Condition" AS ENUM ('sound', 'wearing', 'worn', 'unknown');

-- CreateTable
CREATE TABLE "reading" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "door_id" UUID NOT NULL,
    "counter_id" UUID NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "value" BIGINT NOT NULL,
    "source" "ReadingSource" NOT NULL,
    "import_id" UUID,
    "received_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "reading_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "reading_verdict" (
    "company_id" UUID NOT NULL,
    "reading_id" UUID NOT NULL,
    "door_id" UUID NOT NULL,
    "verdict" "Verdict" NOT NULL,

    CONSTRAINT "reading_verdict_pkey" PRIMARY KEY ("company_id","reading_id")
);

-- CreateTable
CREATE TABLE "reading_overrule" (
    "company_id" UUID NOT NULL,
    "reading_id" UUID NOT NULL,
    "door_id" UUID NOT NULL,
    "use" BOOLEAN NOT NULL,
    "note" TEXT NOT NULL,
    "account_id" UUID NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "reading_overrule_pkey" PRIMARY KEY ("company_id","reading_id")
);

-- CreateTable
CREATE TABLE "door_duty" (
    "company_id" UUID NOT NULL,
    "door_id" UUID NOT NULL,
    "model" JSONB NOT NULL,
    "lifetime_cycles" BIGINT NOT NULL,
    "cycles_per_day_10" DOUBLE PRECISION NOT NULL,
    "cycles_per_day" DOUBLE PRECISION NOT NULL,
    "cycles_per_day_90" DOUBLE PRECISION NOT NULL,
    "readings" INTEGER NOT NULL,
    "set_aside" INTEGER NOT NULL,
    "last_reading_at" TIMESTAMPTZ(3),
    "observed_cycles" DOUBLE PRECISION NOT NULL,
    "observed_days" DOUBLE PRECISION NOT NULL,
    "projected_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "door_duty_pkey" PRIMARY KEY ("company_id","door_id")
);

-- CreateTable
CREATE TABLE "import" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "kind" "ImportKind" NOT NULL,
    "file_name" TEXT NOT NULL,
    "state" "ImportState" NOT NULL,
    "header" TEXT[],
    "mapping" JSONB,
    "size_bytes" BIGINT NOT NULL DEFAULT 0,
    "read_bytes" BIGINT NOT NULL DEFAULT 0,
    "lines" INTEGER NOT NULL DEFAULT 0,
    "accepted" INTEGER NOT NULL DEFAULT 0,
    "unchanged" INTEGER NOT NULL DEFAULT 0,
    "refused" INTEGER NOT NULL DEFAULT 0,
    "error" TEXT,
    "cancel_requested" BOOLEAN NOT NULL DEFAULT false,
    "account_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "started_at" TIMESTAMPTZ(3),
    "ended_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "import_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "import_chunk" (
    "company_id" UUID NOT NULL,
    "import_id" UUID NOT NULL,
    "ordinal" INTEGER NOT NULL,
    "body" BYTEA NOT NULL,

    CONSTRAINT "import_chunk_pkey" PRIMARY KEY ("company_id","import_id","ordinal")
);

-- CreateTable
CREATE TABLE "import_refusal" (
    "company_id" UUID NOT NULL,
    "import_id" UUID NOT NULL,
    "line" INTEGER NOT NULL,
    "field" TEXT NOT NULL,
    "reason" TEXT NOT NULL,
    "excerpt" TEXT NOT NULL,

    CONSTRAINT "import_refusal_pkey" PRIMARY KEY ("company_id","import_id","line","field")
);

-- CreateTable
CREATE TABLE "import_mapping" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "kind" "ImportKind" NOT NULL,
    "header_key" TEXT NOT NULL,
    "mapping" JSONB NOT NULL,
    "used_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "import_mapping_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "owner" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "contact_name" TEXT,
    "email" TEXT,
    "phone" TEXT,
    "archived_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "owner_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "site" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "owner_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "address" TEXT,
    "country_code" CHAR(2) NOT NULL,
    "time_zone" TEXT NOT NULL,
    "latitude" DECIMAL(8,5),
    "longitude" DECIMAL(8,5),
    "units" "Units" NOT NULL DEFAULT 'metric',
    "currency" CHAR(3) NOT NULL DEFAULT 'EUR',
    "regime_months" INTEGER,
    "regime_source" TEXT,
    "archived_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "site_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "zone" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "temperature_class" "TemperatureClass" NOT NULL,
    "set_point_celsius" DECIMAL(4,1),
    "archived_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "zone_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "door_type" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "kind" "DoorKind" NOT NULL,
    "supply_volts" INTEGER NOT NULL,
    "heated" BOOLEAN NOT NULL DEFAULT false,
    "width_mm" INTEGER NOT NULL,
    "height_mm" INTEGER NOT NULL,
    "min_cycle_seconds" DECIMAL(6,2) NOT NULL,
    "notes" TEXT,
    "archived_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "door_type_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "position" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "door_type_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "safety_device" BOOLEAN NOT NULL DEFAULT false,
    "drawn_x" DECIMAL(4,3) NOT NULL,
    "drawn_y" DECIMAL(4,3) NOT NULL,
    "ordinal" INTEGER NOT NULL,
    "b10_cycles" BIGINT,
    "b10_months" INTEGER,
    "life_shape" DECIMAL(5,3),
    "shape_spread" DECIMAL(5,3),
    "rating_spread" DECIMAL(5,3),
    "rating_source" TEXT,
    "archived_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "position_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "door" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "door_type_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "serial" TEXT,
    "from_zone_id" UUID,
    "to_zone_id" UUID,
    "width_mm" INTEGER NOT NULL,
    "height_mm" INTEGER NOT NULL,
    "installed_on" DATE NOT NULL,
    "state" "DoorState" NOT NULL DEFAULT 'in_service',
    "state_reason" TEXT,
    "state_since" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "notes" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "door_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "counter" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "door_id" UUID NOT NULL,
    "name" TEXT NOT NULL DEFAULT 'main',
    "fitted_at" TIMESTAMPTZ(3) NOT NULL,
    "removed_at" TIMESTAMPTZ(3),
    "modulus" BIGINT,
    "start_cycles" BIGINT,
    "start_value" BIGINT,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "counter_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "fitted_part" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "door_id" UUID NOT NULL,
    "position_id" UUID NOT NULL,
    "serial" TEXT,
    "fitted_at" TIMESTAMPTZ(3) NOT NULL,
    "fitted_cycles" BIGINT,
    "age_at_fitting" BIGINT NOT NULL DEFAULT 0,
    "removed_at" TIMESTAMPTZ(3),
    "removed_cycles" BIGINT,
    "removal_reason" "RemovalReason",
    "note" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "fitted_part_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "outbox" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "job" TEXT NOT NULL,
    "payload" JSONB NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "not_before" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "handed_at" TIMESTAMPTZ(3),
    "hands" INTEGER NOT NULL DEFAULT 0,
    "done_at" TIMESTAMPTZ(3),

    CONSTRAINT "outbox_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "job_run" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "job" TEXT NOT NULL,
    "payload" JSONB NOT NULL,
    "state" "RunState" NOT NULL,
    "done" INTEGER NOT NULL DEFAULT 0,
    "total" INTEGER NOT NULL DEFAULT 0,
    "attempts" INTEGER NOT NULL DEFAULT 0,
    "error" TEXT,
    "cancel_requested" BOOLEAN NOT NULL DEFAULT false,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "started_at" TIMESTAMPTZ(3),
    "ended_at" TIMESTAMPTZ(3),

    CONSTRAINT "job_run_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "job_effect" (
    "company_id" UUID NOT NULL,
    "run_id" UUID NOT NULL,
    "part" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "job_effect_pkey" PRIMARY KEY ("company_id","run_id","part")
);

-- CreateTable
CREATE TABLE "ledger_entry" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "account_id" UUID,
    "actor" TEXT NOT NULL,
    "action" TEXT NOT NULL,
    "subject_kind" TEXT NOT NULL,
    "subject_id" UUID,
    "detail" JSONB NOT NULL DEFAULT '{}',

    CONSTRAINT "ledger_entry_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "company" (
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "company_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "account" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "email" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "role" "Role" NOT NULL,
    "owner_id" UUID,
    "password_hash" TEXT NOT NULL,
    "active" BOOLEAN NOT NULL DEFAULT true,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "account_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "session" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "account_id" UUID NOT NULL,
    "token_hash" BYTEA NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "session_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "sign_in_throttle" (
    "key" VARCHAR(255) NOT NULL,
    "points" INTEGER NOT NULL DEFAULT 0,
    "expire" BIGINT,

    CONSTRAINT "sign_in_throttle_pkey" PRIMARY KEY ("key")
);

-- CreateTable
CREATE TABLE "plan" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "door_type_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "archived_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "plan_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "task" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "plan_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "safety" BOOLEAN NOT NULL DEFAULT false,
    "interval_cycles" BIGINT,
    "interval_months" INTEGER,
    "anchor" "TaskAnchor" NOT NULL DEFAULT 'completion',
    "fixed_from" DATE,
    "early_days" INTEGER NOT NULL DEFAULT 0,
    "grace_days" INTEGER NOT NULL DEFAULT 0,
    "minutes" INTEGER NOT NULL,
    "skills" TEXT[],
    "checklist" JSONB NOT NULL DEFAULT '[]',
    "parts" TEXT[],
    "source" TEXT NOT NULL,
    "archived_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "task_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "completion" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "door_id" UUID NOT NULL,
    "task_id" UUID NOT NULL,
    "done_at" TIMESTAMPTZ(3) NOT NULL,
    "lifetime_cycles" BIGINT,
    "passed" BOOLEAN NOT NULL DEFAULT true,
    "note" TEXT,
    "account_id" UUID,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "completion_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "due_item" (
    "company_id" UUID NOT NULL,
    "door_id" UUID NOT NULL,
    "task_id" UUID NOT NULL,
    "safety" BOOLEAN NOT NULL,
    "earliest_on" DATE NOT NULL,
    "due_on" DATE NOT NULL,
    "latest_on" DATE NOT NULL,
    "why" JSONB NOT NULL,
    "projected_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "due_item_pkey" PRIMARY KEY ("company_id","door_id","task_id")
);

-- CreateTable
CREATE TABLE "overdue_notice" (
    "company_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "door_id" UUID NOT NULL,
    "task_id" UUID NOT NULL,
    "latest_on" DATE NOT NULL,
    "noticed_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "overdue_notice_pkey" PRIMARY KEY ("company_id","id")
);

-- CreateTable
CREATE TABLE "part_outlook" (
    "company_id" UUID NOT NULL,
    "fitted_part_id" UUID NOT NULL,
    "door_id" UUID NOT NULL,
    "unit" "AgeUnit" NOT NULL,
    "age" DOUBLE PRECISION NOT NULL,
    "remaining_10" DOUBLE PRECISION NOT NULL,
    "remaining_50" DOUBLE PRECISION NOT NULL,
    "remaining_90" DOUBLE PRECISION NOT NULL,
    "ends_on_10" DATE NOT NULL,
    "ends_on_50" DATE NOT NULL,
    "ends_on_90" DATE NOT NULL,
    "chance_30" DOUBLE PRECISION NOT NULL,
    "chance_90" DOUBLE PRECISION NOT NULL,
    "chance_365" DOUBLE PRECISION NOT NULL,
    "condition" "Condition" NOT NULL,
    "projected_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "part_outlook_pkey" PRIMARY KEY ("company_id","fitted_part_id")
);

-- CreateTable
CREATE TABLE "door_outlook" (
    "company_id" UUID NOT NULL,
    "door_id" UUID NOT NULL,
    "condition" "Condition" NOT NULL,
    "worst_part_id" UUID,
    "chance_90" DOUBLE PRECISION NOT NULL,
    "next_due_on" DATE,
    "next_task_id" UUID,
    "safety_latest_on" DATE,
    "projected_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "door_outlook_pkey" PRIMARY KEY ("company_id","door_id")
);

-- CreateIndex
CREATE UNIQUE INDEX "reading_once" ON "reading"("company_id", "door_id", "at", "value", "counter_id");

-- CreateIndex
CREATE UNIQUE INDEX "reading_of_door" ON "reading"("company_id", "door_id", "id");

-- CreateIndex
CREATE UNIQUE INDEX "verdict_of_door" ON "reading_verdict"("company_id", "door_id", "reading_id");

-- CreateIndex
CREATE UNIQUE INDEX "overrule_of_door" ON "reading_overrule"("company_id", "door_id", "reading_id");

-- CreateIndex
CREATE INDEX "import_company_id_created_at_idx" ON "import"("company_id", "created_at");

-- CreateIndex
CREATE UNIQUE INDEX "import_mapping_header" ON "import_mapping"("company_id", "kind", "header_key");

-- CreateIndex
CREATE UNIQUE INDEX "owner_name" ON "owner"("company_id", "name");

-- CreateIndex
CREATE UNIQUE INDEX "site_name" ON "site"("company_id", "owner_id", "name");

-- CreateIndex
CREATE UNIQUE INDEX "zone_of_site" ON "zone"("company_id", "site_id", "id");

-- CreateIndex
CREATE UNIQUE INDEX "zone_name" ON "zone"("company_id", "site_id", "name");

-- CreateIndex
CREATE UNIQUE INDEX "door_type_name" ON "door_type"("company_id", "name");

-- CreateIndex
CREATE UNIQUE INDEX "position_of_type" ON "position"("company_id", "door_type_id", "id");

-- CreateIndex
CREATE UNIQUE INDEX "position_name" ON "position"("company_id", "door_type_id", "name");

-- CreateIndex
CREATE INDEX "door_company_id_serial_idx" ON "door"("company_id", "serial");

-- CreateIndex
CREATE INDEX "door_company_id_door_type_id_idx" ON "door"("company_id", "door_type_id");

-- CreateIndex
CREATE UNIQUE INDEX "door_name" ON "door"("company_id", "site_id", "name");

-- CreateIndex
CREATE INDEX "counter_company_id_door_id_fitted_at_idx" ON "counter"("company_id", "door_id", "fitted_at");

-- CreateIndex
CREATE UNIQUE INDEX "counter_of_door" ON "counter"("company_id", "door_id", "id");

-- CreateIndex
CREATE INDEX "fitted_part_company_id_door_id_position_id_idx" ON "fitted_part"("company_id", "door_id", "position_id");

-- CreateIndex
CREATE INDEX "fitted_part_company_id_position_id_idx" ON "fitted_part"("company_id", "position_id");

-- CreateIndex
CREATE UNIQUE INDEX "part_of_door" ON "fitted_part"("company_id", "door_id", "id");

-- CreateIndex
CREATE INDEX "outbox_done_at_not_before_idx" ON "outbox"("done_at", "not_before");

-- CreateIndex
CREATE INDEX "job_run_company_id_created_at_idx" ON "job_run"("company_id", "created_at");

-- CreateIndex
CREATE INDEX "ledger_entry_company_id_subject_kind_subject_id_at_idx" ON "ledger_entry"("company_id", "subject_kind", "subject_id", "at");

-- CreateIndex
CREATE INDEX "ledger_entry_company_id_at_idx" ON "ledger_entry"("company_id", "at");

-- CreateIndex
CREATE UNIQUE INDEX "account_email" ON "account"("email");

-- CreateIndex
CREATE UNIQUE INDEX "session_token" ON "session"("token_hash");

-- CreateIndex
CREATE INDEX "session_company_id_account_id_idx" ON "session"("company_id", "account_id");

-- CreateIndex
CREATE UNIQUE INDEX "plan_name" ON "plan"("company_id", "door_type_id", "name");

-- CreateIndex
CREATE UNIQUE INDEX "task_name" ON "task"("company_id", "plan_id", "name");

-- CreateIndex
CREATE UNIQUE INDEX "completion_once" ON "completion"("company_id", "door_id", "task_id", "done_at");

-- CreateIndex
CREATE INDEX "due_item_company_id_due_on_idx" ON "due_item"("company_id", "due_on");

-- CreateIndex
CREATE INDEX "due_item_company_id_safety_latest_on_idx" ON "due_item"("company_id", "safety", "latest_on");

-- CreateIndex
CREATE UNIQUE INDEX "overdue_notice_once" ON "overdue_notice"("company_id", "door_id", "task_id", "latest_on");

-- CreateIndex
CREATE INDEX "part_outlook_company_id_chance_90_idx" ON "part_outlook"("company_id", "chance_90");

-- CreateIndex
CREATE UNIQUE INDEX "part_outlook_of_door" ON "part_outlook"("company_id", "door_id", "fitted_part_id");

-- AddForeignKey
ALTER TABLE "reading" ADD CONSTRAINT "reading_company_id_door_id_counter_id_fkey" FOREIGN KEY ("company_id", "door_id", "counter_id") REFERENCES "counter"("company_id", "door_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "reading" ADD CONSTRAINT "reading_company_id_import_id_fkey" FOREIGN KEY ("company_id", "import_id") REFERENCES "import"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "reading_verdict" ADD CONSTRAINT "reading_verdict_company_id_door_id_reading_id_fkey" FOREIGN KEY ("company_id", "door_id", "reading_id") REFERENCES "reading"("company_id", "door_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "reading_overrule" ADD CONSTRAINT "reading_overrule_company_id_door_id_reading_id_fkey" FOREIGN KEY ("company_id", "door_id", "reading_id") REFERENCES "reading"("company_id", "door_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "reading_overrule" ADD CONSTRAINT "reading_overrule_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "door_duty" ADD CONSTRAINT "door_duty_company_id_door_id_fkey" FOREIGN KEY ("company_id", "door_id") REFERENCES "door"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "import" ADD CONSTRAINT "import_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "import" ADD CONSTRAINT "import_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "import_chunk" ADD CONSTRAINT "import_chunk_company_id_import_id_fkey" FOREIGN KEY ("company_id", "import_id") REFERENCES "import"("company_id", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "import_refusal" ADD CONSTRAINT "import_refusal_company_id_import_id_fkey" FOREIGN KEY ("company_id", "import_id") REFERENCES "import"("company_id", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "import_mapping" ADD CONSTRAINT "import_mapping_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "owner" ADD CONSTRAINT "owner_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "site" ADD CONSTRAINT "site_company_id_owner_id_fkey" FOREIGN KEY ("company_id", "owner_id") REFERENCES "owner"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "zone" ADD CONSTRAINT "zone_company_id_site_id_fkey" FOREIGN KEY ("company_id", "site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "door_type" ADD CONSTRAINT "door_type_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "position" ADD CONSTRAINT "position_company_id_door_type_id_fkey" FOREIGN KEY ("company_id", "door_type_id") REFERENCES "door_type"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "door" ADD CONSTRAINT "door_company_id_site_id_fkey" FOREIGN KEY ("company_id", "site_id") REFERENCES "site"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "door" ADD CONSTRAINT "door_company_id_door_type_id_fkey" FOREIGN KEY ("company_id", "door_type_id") REFERENCES "door_type"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "door" ADD CONSTRAINT "door_company_id_site_id_from_zone_id_fkey" FOREIGN KEY ("company_id", "site_id", "from_zone_id") REFERENCES "zone"("company_id", "site_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "door" ADD CONSTRAINT "door_company_id_site_id_to_zone_id_fkey" FOREIGN KEY ("company_id", "site_id", "to_zone_id") REFERENCES "zone"("company_id", "site_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "counter" ADD CONSTRAINT "counter_company_id_door_id_fkey" FOREIGN KEY ("company_id", "door_id") REFERENCES "door"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "fitted_part" ADD CONSTRAINT "fitted_part_company_id_door_id_fkey" FOREIGN KEY ("company_id", "door_id") REFERENCES "door"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "fitted_part" ADD CONSTRAINT "fitted_part_company_id_position_id_fkey" FOREIGN KEY ("company_id", "position_id") REFERENCES "position"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "outbox" ADD CONSTRAINT "outbox_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "job_run" ADD CONSTRAINT "job_run_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "job_effect" ADD CONSTRAINT "job_effect_company_id_run_id_fkey" FOREIGN KEY ("company_id", "run_id") REFERENCES "job_run"("company_id", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "ledger_entry" ADD CONSTRAINT "ledger_entry_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "ledger_entry" ADD CONSTRAINT "ledger_entry_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "account" ADD CONSTRAINT "account_company_id_fkey" FOREIGN KEY ("company_id") REFERENCES "company"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "account" ADD CONSTRAINT "account_company_id_owner_id_fkey" FOREIGN KEY ("company_id", "owner_id") REFERENCES "owner"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "session" ADD CONSTRAINT "session_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "plan" ADD CONSTRAINT "plan_company_id_door_type_id_fkey" FOREIGN KEY ("company_id", "door_type_id") REFERENCES "door_type"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "task" ADD CONSTRAINT "task_company_id_plan_id_fkey" FOREIGN KEY ("company_id", "plan_id") REFERENCES "plan"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "completion" ADD CONSTRAINT "completion_company_id_door_id_fkey" FOREIGN KEY ("company_id", "door_id") REFERENCES "door"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "completion" ADD CONSTRAINT "completion_company_id_task_id_fkey" FOREIGN KEY ("company_id", "task_id") REFERENCES "task"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "completion" ADD CONSTRAINT "completion_company_id_account_id_fkey" FOREIGN KEY ("company_id", "account_id") REFERENCES "account"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "due_item" ADD CONSTRAINT "due_item_company_id_door_id_fkey" FOREIGN KEY ("company_id", "door_id") REFERENCES "door"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "due_item" ADD CONSTRAINT "due_item_company_id_task_id_fkey" FOREIGN KEY ("company_id", "task_id") REFERENCES "task"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "overdue_notice" ADD CONSTRAINT "overdue_notice_company_id_door_id_fkey" FOREIGN KEY ("company_id", "door_id") REFERENCES "door"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "overdue_notice" ADD CONSTRAINT "overdue_notice_company_id_task_id_fkey" FOREIGN KEY ("company_id", "task_id") REFERENCES "task"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "part_outlook" ADD CONSTRAINT "part_outlook_company_id_door_id_fitted_part_id_fkey" FOREIGN KEY ("company_id", "door_id", "fitted_part_id") REFERENCES "fitted_part"("company_id", "door_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "door_outlook" ADD CONSTRAINT "door_outlook_company_id_door_id_worst_part_id_fkey" FOREIGN KEY ("company_id", "door_id", "worst_part_id") REFERENCES "fitted_part"("company_id", "door_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "door_outlook" ADD CONSTRAINT "door_outlook_company_id_next_task_id_fkey" FOREIGN KEY ("company_id", "next_task_id") REFERENCES "task"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "door_outlook" ADD CONSTRAINT "door_outlook_company_id_door_id_fkey" FOREIGN KEY ("company_id", "door_id") REFERENCES "door"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- What Prisma's schema language cannot say: ranges of values, one fitted part a position, one running counter a door.

ALTER TABLE "account" ADD CONSTRAINT "account_email_lower" CHECK (email = lower(email)),
  ADD CONSTRAINT "account_owner_role" CHECK ((role = 'owner') = (owner_id IS NOT NULL));
ALTER TABLE "site" ADD CONSTRAINT "site_regime" CHECK (regime_months BETWEEN 1 AND 120),
  ADD CONSTRAINT "site_place" CHECK (latitude BETWEEN -90 AND 90 AND longitude BETWEEN -180 AND 180);
ALTER TABLE "door_type" ADD CONSTRAINT "door_type_size" CHECK (width_mm BETWEEN 300 AND 20000 AND height_mm BETWEEN 300 AND 20000),
  ADD CONSTRAINT "door_type_cycle" CHECK (min_cycle_seconds > 0), ADD CONSTRAINT "door_type_supply" CHECK (supply_volts > 0);
ALTER TABLE "position" ADD CONSTRAINT "position_rating" CHECK (
    (b10_cycles IS NULL OR b10_months IS NULL)
    AND coalesce(b10_cycles, 1) > 0 AND coalesce(b10_months, 1) > 0
    AND ((b10_cycles IS NULL AND b10_months IS NULL) OR (life_shape > 0 AND shape_spread >= 0 AND rating_spread >= 0))),
  ADD CONSTRAINT "position_drawn" CHECK (drawn_x BETWEEN 0 AND 1 AND drawn_y BETWEEN 0 AND 1);
ALTER TABLE "door" ADD CONSTRAINT "door_size" CHECK (width_mm BETWEEN 300 AND 20000 AND height_mm BETWEEN 300 AND 20000);
ALTER TABLE "counter" ADD CONSTRAINT "counter_span" CHECK (removed_at IS NULL OR removed_at >= fitted_at),
  ADD CONSTRAINT "counter_values" CHECK (coalesce(modulus, 2) >= 2 AND coalesce(start_cycles, 0) >= 0 AND coalesce(start_value, 0) >= 0),
  ADD CONSTRAINT "counter_one_running" EXCLUDE USING btree (company_id WITH =, door_id WITH =) WHERE (removed_at IS NULL);
ALTER TABLE "fitted_part" ADD CONSTRAINT "fitted_part_span" CHECK (removed_at IS NULL OR removed_at >= fitted_at),
  ADD CONSTRAINT "fitted_part_removal" CHECK ((removed_at IS NULL) = (removal_reason IS NULL)),
  ADD CONSTRAINT "fitted_part_cycles" CHECK (coalesce(fitted_cycles, 0) >= 0 AND age_at_fitting >= 0 AND coalesce(removed_cycles, 0) >= 0),
  ADD CONSTRAINT "fitted_part_one" EXCLUDE USING btree (company_id WITH =, door_id WITH =, position_id WITH =) WHERE (removed_at IS NULL);
ALTER TABLE "reading" ADD CONSTRAINT "reading_value" CHECK (value >= 0 AND value <= 9007199254740991);
ALTER TABLE "task" ADD CONSTRAINT "task_interval" CHECK (
    (interval_cycles IS NOT NULL OR interval_months IS NOT NULL)
    AND coalesce(interval_cycles, 1) > 0 AND coalesce(interval_months, 1) > 0),
  ADD CONSTRAINT "task_days" CHECK (early_days >= 0 AND grace_days >= 0 AND minutes > 0),
  ADD CONSTRAINT "task_anchor" CHECK (anchor = 'completion' OR (fixed_from IS NOT NULL AND interval_months IS NOT NULL)),
  -- A safety inspection always has a date of its own: cycles alone could leave an idle door unseen for ever.
  ADD CONSTRAINT "task_safety_months" CHECK (NOT safety OR interval_months IS NOT NULL);
ALTER TABLE "due_item" ADD CONSTRAINT "due_item_order" CHECK (earliest_on <= due_on AND due_on <= latest_on);

-- Who may see what. API and worker sign in as members of lintel_app, which owns nothing and cannot bypass these rules;
-- the relay (outbox to queue, schedules) as a member of lintel_relay. Roles belong to the whole server: made once.

DO $$
BEGIN
  IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'lintel_app') THEN CREATE ROLE lintel_app NOLOGIN; END IF;
  IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'lintel_relay') THEN CREATE ROLE lintel_relay NOLOGIN; END IF;
EXCEPTION WHEN duplicate_object OR unique_violation THEN NULL; -- another database of this server made them just now
END $$;

CREATE FUNCTION app_company_id() RETURNS uuid LANGUAGE sql STABLE
  AS $$ SELECT nullif(current_setting('app.company_id', true), '')::uuid $$;
CREATE FUNCTION app_owner_id() RETURNS uuid LANGUAGE sql STABLE
  AS $$ SELECT nullif(current_setting('app.owner_id', true), '')::uuid $$;

DO $$
DECLARE
  -- A facility owner (app.owner_id set) sees its own sites and what hangs on them; of the company's own books nothing.
  scopes constant jsonb := '{
    "owner": "id = (SELECT app_owner_id())",
    "site": "owner_id = (SELECT app_owner_id())",
    "account": "owner_id = (SELECT app_owner_id())",
    "zone": "EXISTS (SELECT FROM site s WHERE s.company_id = zone.company_id AND s.id = zone.site_id)",
    "door": "EXISTS (SELECT FROM site s WHERE s.company_id = door.company_id AND s.id = door.site_id)",
    "session": "EXISTS (SELECT FROM account a WHERE a.company_id = session.company_id AND a.id = session.account_id)"
  }';
  everyones constant text[] := ARRAY['door_type', 'position', 'plan', 'task'];
  of_door constant text[] := ARRAY['counter', 'fitted_part', 'reading', 'reading_verdict', 'reading_overrule', 'door_duty',
    'completion', 'due_item', 'overdue_notice', 'part_outlook', 'door_outlook'];
  staffs constant text[] := ARRAY['import', 'import_chunk', 'import_refusal', 'import_mapping', 'ledger_entry', 'outbox',
    'job_run', 'job_effect'];
  facts constant text[] := ARRAY['reading', 'completion', 'ledger_entry', 'overdue_notice'];
  t text;
  narrower text;
BEGIN
  FOR t IN SELECT key FROM jsonb_each_text(scopes) UNION ALL SELECT unnest(everyones || of_door || staffs) LOOP
    narrower := CASE
      WHEN scopes ? t THEN format(' AND ((SELECT app_owner_id()) IS NULL OR %s)', scopes ->> t)
      WHEN t = ANY (of_door) THEN format(' AND ((SELECT app_owner_id()) IS NULL OR EXISTS (SELECT FROM door d '
        'WHERE d.company_id = %1$I.company_id AND d.id = %1$I.door_id))', t)
      WHEN t = ANY (staffs) THEN ' AND (SELECT app_owner_id()) IS NULL'
      ELSE '' END;
    EXECUTE format('ALTER TABLE %I ENABLE ROW LEVEL SECURITY', t);
    EXECUTE format('ALTER TABLE %I FORCE ROW LEVEL SECURITY', t);
    EXECUTE format('CREATE POLICY of_company ON %I TO lintel_app USING (company_id = (SELECT app_company_id())%s) '
      'WITH CHECK (company_id = (SELECT app_company_id())%s)', t, narrower, narrower);
    EXECUTE format('CREATE POLICY of_schema_owner ON %I TO CURRENT_USER USING (true) WITH CHECK (true)', t);
    EXECUTE format('GRANT %s ON %I TO lintel_app',
      CASE WHEN t = ANY (facts) THEN 'SELECT, INSERT' ELSE 'SELECT, INSERT, UPDATE, DELETE' END, t);
  END LOOP;
END $$;

ALTER TABLE "company" ENABLE ROW LEVEL SECURITY;
ALTER TABLE "company" FORCE ROW LEVEL SECURITY;
CREATE POLICY of_company ON "company" TO lintel_app USING (id = (SELECT app_company_id())) WITH CHECK (id = (SELECT app_company_id()));
CREATE POLICY of_schema_owner ON "company" TO CURRENT_USER USING (true) WITH CHECK (true);
GRANT SELECT, INSERT, UPDATE ON "company" TO lintel_app;

-- Asked before a company is known.
GRANT SELECT, INSERT, UPDATE, DELETE ON "sign_in_throttle" TO lintel_app;

CREATE FUNCTION gate_account(p_email text)
  RETURNS TABLE (company_id uuid, id uuid, role "Role", owner_id uuid, name text, password_hash text, active boolean)
  LANGUAGE sql STABLE SECURITY DEFINER SET search_path = public, pg_temp
  AS $$ SELECT a.company_id, a.id, a.role, a.owner_id, a.name, a.password_hash, a.active FROM account a WHERE a.email = lower(p_email) $$;
CREATE FUNCTION gate_session(p_token_hash bytea)
  RETURNS TABLE (company_id uuid, session_id uuid, account_id uuid, role "Role", owner_id uuid, name text, email text, created_at timestamptz, expires_at timestamptz)
  LANGUAGE sql STABLE SECURITY DEFINER SET search_path = public, pg_temp
  AS $$ SELECT s.company_id, s.id, a.id, a.role, a.owner_id, a.name, a.email, s.created_at, s.expires_at
    FROM session s JOIN account a ON a.company_id = s.company_id AND a.id = s.account_id
    WHERE s.token_hash = p_token_hash AND s.expires_at > now() AND a.active $$;
REVOKE ALL ON FUNCTION gate_account(text), gate_session(bytea) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION gate_account(text), gate_session(bytea) TO lintel_app;

-- The relay: which companies and sites there are, what is asked for, what became of it. Nothing else.
GRANT SELECT (id) ON "company" TO lintel_relay;
GRANT SELECT (company_id, id, time_zone, archived_at) ON "site" TO lintel_relay;
GRANT SELECT, UPDATE ON "outbox" TO lintel_relay;
GRANT SELECT, INSERT, UPDATE ON "job_run" TO lintel_relay;
CREATE POLICY of_relay ON "company" FOR SELECT TO lintel_relay USING (true);
CREATE POLICY of_relay ON "site" FOR SELECT TO lintel_relay USING (true);
CREATE POLICY of_relay ON "outbox" TO lintel_relay USING (true) WITH CHECK (true);
CREATE POLICY of_relay ON "job_run" TO lintel_relay USING (true) WITH CHECK (true);

GRANT USAGE ON SCHEMA public TO lintel_app, lintel_relay;
