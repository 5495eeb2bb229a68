-- A door has inspections of several tasks: a test of its devices does not stand in the place of one with forces measured.

ALTER TABLE "certificate" ADD COLUMN "task_id" UUID;
UPDATE "certificate" c SET "task_id" = o.task_id FROM "work_order" o WHERE o.company_id = c.company_id AND o.id = c.work_order_id;
ALTER TABLE "certificate" ADD CONSTRAINT "certificate_company_id_task_id_fkey" FOREIGN KEY ("company_id", "task_id") REFERENCES "task"("company_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- Taken back; or a newer one stands, not taken back itself, that is of the same door, kind and task, or says of the door that it did
-- not pass, whatever was tested; or neither.
CREATE OR REPLACE FUNCTION certificate_state(p certificate) RETURNS text LANGUAGE sql STABLE SET search_path = public, pg_temp
AS $$
  SELECT CASE
    WHEN EXISTS (SELECT FROM certificate_withdrawal w WHERE w.company_id = p.company_id AND w.certificate_id = p.id) THEN 'withdrawn'
    WHEN EXISTS (SELECT FROM certificate n WHERE n.company_id = p.company_id AND n.door_id = p.door_id
      AND (NOT n.passed OR (n.kind = p.kind AND n.task_id IS NOT DISTINCT FROM p.task_id))
      AND (n.completed_at, n.id) > (p.completed_at, p.id)
      AND NOT EXISTS (SELECT FROM certificate_withdrawal w WHERE w.company_id = n.company_id AND w.certificate_id = n.id)) THEN 'superseded'
    ELSE 'valid' END
$$;
