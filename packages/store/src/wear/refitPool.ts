import type { PartKind } from '@lintel/contract';
import type { LifeRating } from '@lintel/engine';
import type pg from 'pg';
import { newId, type CompanyContext, type Store } from '../context.js';
import { arrayLiteral } from '../duty/projectRows.js';
import { enqueue } from '../jobs/enqueue.js';
import { writeLedger } from '../ledger/writeLedger.js';
import { poolLives } from './poolLives.js';
import type { PartLife } from './poolLives.js';
import { loadRatings } from './projectWear.js';
import { fingerprintOf, poolOf, wearVersion } from './wearVersion.js';
import type { ChosenPool, WearSubject } from './wearVersion.js';

/** A version older than this is made anew though no fact has changed: running parts have grown older, and that says something. */
const FRESH_DAYS = 30;
/** Versions of one model that are kept, beside those in use. */
const KEPT_VERSIONS = 20;
/** Several refits within so many seconds are projected once. */
const PROJECT_AFTER_SECONDS = 15;
const DAY_MS = 86_400_000;

interface Newest {
  number: number;
  fingerprint: string;
  madeAt: number;
  fixed: boolean;
  /** Some version of it is in use. */
  inUse: boolean;
}

export interface RefitResult {
  /** Models that there are for the kind of part, and those of them that a new version was made of. */
  models: number;
  made: number;
}

/**
 * Fits the wear models of one kind of part anew: for each rated position and climate that has lives, a version from its rating and the
 * narrowest pool that carries, unless nothing has changed. The newest version is in use, but a fixed one stays. What was made is
 * projected. Safe to run twice, and twice at once: the later one finds nothing new.
 */
export function refitPool(store: Store, context: CompanyContext, kind: PartKind, now: Date): Promise<RefitResult> {
  return store.withCompanySql(context, async (client) => {
    const { companyId } = context;
    await client.query('SELECT pg_advisory_xact_lock(hashtextextended($1, 0))', [`refit-pool ${companyId} ${kind}`]);
    const lives = await poolLives(client, companyId, kind, now);
    const subjects = await loadSubjects(client, companyId, kind, lives);
    const newest = await loadNewest(client, companyId, kind);
    let made = 0;
    for (const subject of subjects) {
      const key = keyOf(subject);
      const last = newest.get(key);
      newest.delete(key);
      const chosen = poolOf(subject, lives);
      const fingerprint = fingerprintOf(subject, chosen);
      if (last?.inUse && last.fingerprint === fingerprint && now.getTime() - last.madeAt < FRESH_DAYS * DAY_MS) continue;
      await addVersion(client, context, { subject, chosen, fingerprint, last, now, lives });
      made += 1;
      // One model takes some tens of milliseconds: timers of the process go on in between.
      await new Promise(setImmediate);
    }
    const retired = await retire(client, companyId, [...newest.keys()]);
    if (made + retired > 0) {
      await writeLedger(client, context, { action: 'wear-models-refitted', subjectKind: 'wear-model', subjectId: null, detail: { kind, made, retired } });
      await enqueue(client, context, 'project-company', {}, { debounceSeconds: PROJECT_AFTER_SECONDS });
    }
    return { models: subjects.length, made };
  });
}

/** Kinds of parts whose models are missing or old; what the night looks after. */
export async function kindsToRefit(client: pg.ClientBase, companyId: string, now: Date): Promise<PartKind[]> {
  const { rows } = await client.query<{ kind: PartKind }>(
    `SELECT p.kind FROM position p
     WHERE p.company_id = $1::uuid AND p.archived_at IS NULL AND (p.b10_cycles IS NOT NULL OR p.b10_months IS NOT NULL)
       AND EXISTS (SELECT FROM fitted_part f WHERE f.company_id = p.company_id AND f.position_id = p.id
         AND coalesce(f.removal_reason <> 'entered_in_error', true))
     GROUP BY p.kind
     HAVING coalesce((SELECT max(m.made_at) FROM wear_model m JOIN position q ON q.company_id = m.company_id AND q.id = m.position_id
       WHERE m.company_id = $1::uuid AND q.kind = p.kind), '-infinity') < $2::timestamptz
     ORDER BY p.kind`,
    [companyId, new Date(now.getTime() - FRESH_DAYS * DAY_MS)],
  );
  return rows.map((row) => row.kind);
}

/** Rated positions of the kind, in each climate in which their parts live. */
async function loadSubjects(client: pg.ClientBase, companyId: string, kind: string, lives: readonly PartLife[]): Promise<WearSubject[]> {
  const ratings: ReadonlyMap<string, LifeRating> = await loadRatings(client, companyId);
  const { rows } = await client.query<{ positionId: string; doorTypeId: string }>(
    `SELECT id AS "positionId", door_type_id AS "doorTypeId" FROM position
     WHERE company_id = $1::uuid AND kind = $2 AND archived_at IS NULL ORDER BY id`,
    [companyId, kind],
  );
  return rows.flatMap(({ positionId, doorTypeId }) => {
    const rating = ratings.get(positionId);
    if (rating === undefined) return [];
    const climates = new Set(lives.filter((life) => life.doorTypeId === doorTypeId).map((life) => life.climate));
    return [...climates].sort().map((climate) => ({ positionId, doorTypeId, climate, rating }));
  });
}

const keyOf = ({ positionId, climate }: Pick<WearSubject, 'positionId' | 'climate'>): string => `${positionId} ${climate}`;

async function loadNewest(client: pg.ClientBase, companyId: string, kind: string): Promise<Map<string, Newest>> {
  const { rows } = await client.query<Newest & Pick<WearSubject, 'positionId' | 'climate'>>(
    `SELECT DISTINCT ON (m.position_id, m.climate) m.position_id AS "positionId", m.climate::text AS climate, m.number, m.fingerprint,
       date_part('epoch', m.made_at) * 1000 AS "madeAt",
       bool_or(m.fixed_at IS NOT NULL) OVER (PARTITION BY m.position_id, m.climate) AS fixed,
       bool_or(m.in_use) OVER (PARTITION BY m.position_id, m.climate) AS "inUse"
     FROM wear_model m JOIN position p ON p.company_id = m.company_id AND p.id = m.position_id
     WHERE m.company_id = $1::uuid AND p.kind = $2 ORDER BY m.position_id, m.climate, m.number DESC`,
    [companyId, kind],
  );
  return new Map(rows.map((row) => [keyOf(row), row]));
}

interface Addition {
  subject: WearSubject;
  chosen: ChosenPool;
  fingerprint: string;
  last: Newest | undefined;
  now: Date;
  /** All of the kind of part. */
  lives: readonly PartLife[];
}

async function addVersion(client: pg.ClientBase, { companyId }: CompanyContext, { subject, chosen, fingerprint, last, now, lives }: Addition): Promise<void> {
  const { model, b10, b50, fit, noFit, plot } = wearVersion(subject.rating, chosen, lives);
  const fixed = last?.fixed ?? false;
  const place = [companyId, subject.positionId, subject.climate];
  if (!fixed) await client.query(`UPDATE wear_model SET in_use = false, version = version + 1 WHERE company_id = $1 AND position_id = $2 AND climate = $3 AND in_use`, place);
  await client.query(
    `INSERT INTO wear_model (company_id, position_id, climate, id, number, made_at, pool, unit, failures, suspensions, set_aside, rating,
       rating_source, shapes, scales, weights, b10, b10_low, b10_high, b50, b50_low, b50_high, comparison, no_fit, plot, fingerprint, in_use)
     SELECT $1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, p.rating_source, $13, $14, $15, $16, $17, $18, $19, $20, $21, $22, $23, $24, $25, $26
     FROM position p WHERE p.company_id = $1 AND p.id = $2`,
    [
      ...place, newId(), (last?.number ?? 0) + 1, now, chosen.pool.replaceAll('-', '_'), chosen.unit, chosen.failures, chosen.suspensions,
      chosen.setAside, JSON.stringify(subject.rating),
      ...[model.shapes, model.scales, model.weights].map((values) => arrayLiteral([...values])),
      b10.age, b10.low, b10.high, b50.age, b50.low, b50.high,
      fit === null ? null : JSON.stringify(fit), noFit, JSON.stringify(plot), fingerprint, !fixed,
    ],
  );
  await client.query(
    `DELETE FROM wear_model m WHERE company_id = $1 AND position_id = $2 AND climate = $3 AND NOT in_use AND number <= $4
       AND NOT EXISTS (SELECT FROM part_outlook l WHERE l.company_id = m.company_id AND l.wear_model_id = m.id)`,
    [...place, (last?.number ?? 0) + 1 - KEPT_VERSIONS],
  );
}

/** Models whose position has no rating or no lives any more are out of use, unless one is fixed. */
async function retire(client: pg.ClientBase, companyId: string, keys: readonly string[]): Promise<number> {
  if (keys.length === 0) return 0;
  const { rowCount } = await client.query(
    `UPDATE wear_model SET in_use = false, version = version + 1
     WHERE company_id = $1 AND position_id || ' ' || climate = ANY ($2) AND in_use AND fixed_at IS NULL`,
    [companyId, keys],
  );
  return rowCount ?? 0;
}
