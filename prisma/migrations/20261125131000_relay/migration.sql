-- The relay also makes the schema of the queue (and makes it anew if it is lost), asks for what is to be done by the clock, and
-- forgets requests and runs that ended long ago.
DO $$
BEGIN
  EXECUTE format('GRANT CREATE ON DATABASE %I TO lintel_relay', current_database());
END $$;
GRANT INSERT, DELETE ON "outbox" TO lintel_relay;
GRANT DELETE ON "job_run" TO lintel_relay;
