import type { CompanyContext, Store } from '@lintel/store';

/** How a run stands when a worker takes it up. */
export interface BegunRun {
  /** It has ended already, or was cancelled and is ended by that: nothing is to be done. */
  over: boolean;
  /** Other requests for just the same, handed over before this run looks at anything: its end is theirs too. */
  standsFor: string[];
}

/** What people see of a run: kept by the worker, in the company's own transactions. */
export class RunBook {
  constructor(
    private readonly store: Store,
    readonly context: CompanyContext,
    readonly runId: string,
  ) {}

  /** Takes the run up, unless it is over. `attempt` counts from 1. */
  async begin(attempt: number): Promise<BegunRun> {
    return this.store.withCompanySql(this.context, async (client) => {
      const { rows } = await client.query<{ over: boolean; cancelled: boolean; job: string; payload: unknown }>(
        `SELECT o.done_at IS NOT NULL AS over, coalesce(r.cancel_requested, false) AS cancelled, o.job, o.payload
         FROM outbox o LEFT JOIN job_run r ON r.company_id = o.company_id AND r.id = o.id
         WHERE o.company_id = $1 AND o.id = $2 FOR UPDATE OF o`,
        [this.context.companyId, this.runId],
      );
      const [request] = rows;
      if (request === undefined || request.over) return { over: true, standsFor: [] };
      await client.query(
        `INSERT INTO job_run AS r (company_id, id, job, payload, state, attempts, started_at) VALUES ($1, $2, $3, $4, 'running', $5, now())
         ON CONFLICT (company_id, id) DO UPDATE SET state = 'running', ended_at = NULL,
           error = CASE WHEN r.state = 'running' THEN r.error END,
           attempts = greatest(r.attempts, excluded.attempts), started_at = coalesce(r.started_at, now())`,
        [this.context.companyId, this.runId, request.job, JSON.stringify(request.payload), attempt],
      );
      const same = await client.query<{ id: string }>(
        `SELECT o.id FROM outbox o LEFT JOIN job_run r ON r.company_id = o.company_id AND r.id = o.id
         WHERE o.company_id = $1 AND o.id <> $2 AND o.job = $3 AND o.payload = $4 AND o.handed_at IS NOT NULL AND o.done_at IS NULL
           AND coalesce(r.state, 'waiting') = 'waiting' AND NOT coalesce(r.cancel_requested, false)`,
        [this.context.companyId, this.runId, request.job, JSON.stringify(request.payload)],
      );
      return { over: false, standsFor: same.rows.map((row) => row.id) };
    });
  }

  async progress(done: number, total: number): Promise<void> {
    await this.update('done = $3, total = $4', [done, total]);
  }

  async isCancelled(): Promise<boolean> {
    const { rows } = await this.store.withCompanySql(this.context, (client) =>
      client.query<{ cancelled: boolean }>('SELECT cancel_requested AS cancelled FROM job_run WHERE company_id = $1 AND id = $2', [
        this.context.companyId,
        this.runId,
      ]),
    );
    return rows[0]?.cancelled ?? false;
  }

  /** Notes that one part of the run is done; a part counts once, whoever does it again. */
  async partDone(part: string, share: number): Promise<void> {
    await this.store.withCompanySql(this.context, (client) =>
      client.query(
        `WITH noted AS (INSERT INTO job_effect (company_id, run_id, part) VALUES ($1, $2, $3) ON CONFLICT DO NOTHING RETURNING part)
         UPDATE job_run SET done = least(done + $4, total) WHERE company_id = $1 AND id = $2 AND EXISTS (SELECT FROM noted)`,
        [this.context.companyId, this.runId, part, share],
      ),
    );
  }

  async partsDone(): Promise<Set<string>> {
    const { rows } = await this.store.withCompanySql(this.context, (client) =>
      client.query<{ part: string }>('SELECT part FROM job_effect WHERE company_id = $1 AND run_id = $2', [this.context.companyId, this.runId]),
    );
    return new Set(rows.map((row) => row.part));
  }

  /** Ends the run, and with it those that it stood for. `note`: what is to be known though it is done. */
  async end(state: 'done' | 'failed' | 'cancelled', note: string | null, standsFor: readonly string[] = []): Promise<void> {
    await this.store.withCompanySql(this.context, async (client) => {
      const ids = [this.runId, ...(state === 'done' ? standsFor : [])];
      const values = [this.context.companyId, ids];
      await client.query(
        `INSERT INTO job_run AS r (company_id, id, job, payload, state, error, started_at, ended_at)
         SELECT company_id, id, job, payload, $3::"RunState", $4, now(), now() FROM outbox
         WHERE company_id = $1 AND id = ANY ($2::uuid[]) AND done_at IS NULL ORDER BY id
         ON CONFLICT (company_id, id) DO UPDATE SET state = excluded.state, error = excluded.error, ended_at = now(),
           done = CASE WHEN excluded.state = 'done' THEN r.total ELSE r.done END`,
        [...values, state, note],
      );
      await client.query('UPDATE outbox SET done_at = now() WHERE company_id = $1 AND id = ANY ($2::uuid[]) AND done_at IS NULL', values);
    });
  }

  /** An attempt failed and there will be another. */
  async retryLater(reason: string): Promise<void> {
    await this.update(`state = 'waiting', error = $3`, [reason]);
  }

  /** What the parts had to say; null: nothing. */
  async note(): Promise<string | null> {
    const { rows } = await this.store.withCompanySql(this.context, (client) =>
      client.query<{ error: string | null }>('SELECT error FROM job_run WHERE company_id = $1 AND id = $2', [this.context.companyId, this.runId]),
    );
    return rows[0]?.error ?? null;
  }

  /** What a part has to say though it is done; kept at the run, cut at a thousand characters. */
  async addNote(note: string): Promise<void> {
    await this.update(`error = left(concat_ws('; ', error, $3::text), 1000)`, [note]);
  }

  private async update(assignments: string, values: readonly unknown[]): Promise<void> {
    await this.store.withCompanySql(this.context, (client) =>
      client.query(`UPDATE job_run SET ${assignments} WHERE company_id = $1 AND id = $2`, [this.context.companyId, this.runId, ...values]),
    );
  }
}
