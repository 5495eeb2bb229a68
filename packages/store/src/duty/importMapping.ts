import { importMapping, type ImportKind, type ImportMapping } from '@lintel/contract';
import { newId, type CompanyContext } from '../context.js';
import { runSql, type CompanyTransaction } from '../sqlRunner.js';
import { headerKeyOf } from './importText.js';

/** The mapping with which the last file of this kind and header was brought in; null: none was. */
export async function rememberedMapping(
  transaction: CompanyTransaction,
  context: CompanyContext,
  kind: ImportKind,
  header: readonly string[],
): Promise<ImportMapping | null> {
  const rows = await runSql<{ mapping: unknown }>(
    transaction,
    'SELECT mapping FROM import_mapping WHERE company_id = $1::uuid AND kind = $2::"ImportKind" AND header_key = $3',
    [context.companyId, kind, headerKeyOf(header)],
  );
  const known = importMapping.safeParse(rows[0]?.mapping);
  return known.success ? known.data : null;
}

export async function rememberMapping(
  transaction: CompanyTransaction,
  context: CompanyContext,
  kind: ImportKind,
  header: readonly string[],
  mapping: ImportMapping,
): Promise<void> {
  await runSql(
    transaction,
    `INSERT INTO import_mapping (company_id, id, kind, header_key, mapping) VALUES ($1::uuid, $2::uuid, $3::"ImportKind", $4, $5::jsonb)
     ON CONFLICT (company_id, kind, header_key) DO UPDATE SET mapping = excluded.mapping, used_at = now() RETURNING id::text`,
    [context.companyId, newId(), kind, headerKeyOf(header), JSON.stringify(mapping)],
  );
}
