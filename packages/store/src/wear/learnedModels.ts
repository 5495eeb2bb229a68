import type { DoorClimate } from '@lintel/contract';
import { wearModelOf } from '@lintel/engine';
import type { WearModel } from '@lintel/engine';
import type pg from 'pg';
import { arrayLiteral } from '../duty/projectRows.js';

/** A version in use; its survival table is made when a part first asks for it. */
export interface LearnedModel {
  id: string;
  model: () => WearModel;
}

/** By position and climate. */
export type LearnedModels = ReadonlyMap<string, LearnedModel>;

interface StoredLaws {
  id: string;
  unit: 'cycles' | 'days';
  shapes: number[];
  scales: number[];
  weights: number[];
}

/** What a version says never changes: read once, and made once, by this process. */
const kept = new Map<string, LearnedModel>();
/** Some 20 kB each. */
const MOST_KEPT = 1000;

export const learnedKey = (positionId: string, climate: DoorClimate): string => `${positionId} ${climate}`;

/** The versions of the company's wear models that are in use. */
export async function loadLearned(client: pg.ClientBase, companyId: string): Promise<LearnedModels> {
  const { rows } = await client.query<{ id: string; positionId: string; climate: DoorClimate }>(
    `SELECT id, position_id AS "positionId", climate::text AS climate FROM wear_model WHERE company_id = $1::uuid AND in_use`,
    [companyId],
  );
  const models = await learnedById(client, companyId, rows.map((row) => row.id));
  return new Map(rows.map(({ id, positionId, climate }) => [learnedKey(positionId, climate), models.get(id)!]));
}

/** Versions by their ids; those that are not there are left out. */
export async function learnedById(client: pg.ClientBase, companyId: string, ids: readonly string[]): Promise<Map<string, LearnedModel>> {
  const found = new Map(ids.flatMap((id) => (kept.has(id) ? [[id, kept.get(id)!] as const] : [])));
  const missing = ids.filter((id) => !found.has(id));
  if (missing.length === 0) return found;
  const { rows } = await client.query<StoredLaws>(
    `SELECT id, unit::text AS unit, shapes, scales, weights FROM wear_model WHERE company_id = $1::uuid AND id = ANY ($2::uuid[])`,
    [companyId, arrayLiteral(missing)],
  );
  if (kept.size > MOST_KEPT) kept.clear();
  for (const row of rows) {
    const learned = learnedModel(row);
    kept.set(row.id, learned);
    found.set(row.id, learned);
  }
  return found;
}

function learnedModel({ id, ...stored }: StoredLaws): LearnedModel {
  let model: WearModel | undefined;
  return { id, model: () => (model ??= wearModelOf(stored)) };
}
