import type { CompanyContext, Store } from '../context.js';

/** The uploaded file of an import, piece by piece from the store: what a worker passes to runImport as \`open\`. */
export async function* importChunks(store: Store, context: CompanyContext, importId: string): AsyncGenerator<Buffer, void> {
  for (let after = -1; ; ) {
    const { rows } = await store.withCompanySql(context, (client) =>
      client.query<{ ordinal: number; body: Buffer }>(
        `SELECT ordinal, body FROM import_chunk WHERE company_id = $1 AND import_id = $2 AND ordinal > $3 ORDER BY ordinal LIMIT 4`,
        [context.companyId, importId, after],
      ),
    );
    for (const { ordinal, body } of rows) {
      yield body;
      after = ordinal;
    }
    if (rows.length === 0) return;
  }
}
