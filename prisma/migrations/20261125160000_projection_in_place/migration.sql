-- A projection changes nearly every row of these tables in place. Room on their pages, and no index over what changes with
-- every projection, let PostgreSQL do so without touching the indexes.
DROP INDEX "part_outlook_company_id_chance_90_idx";
ALTER TABLE "part_outlook" SET (fillfactor = 60);
ALTER TABLE "due_item" SET (fillfactor = 60);
ALTER TABLE "door_duty" SET (fillfactor = 60);
ALTER TABLE "door_outlook" SET (fillfactor = 60);
