import { elongationRange, type ChainMeasurementCreate, type FieldError } from '@lintel/contract';
import { chainElongation } from '@lintel/engine';
import { newId, type CompanyContext } from '../context.js';
import { runSql, type CompanyTransaction } from '../sqlRunner.js';

/** Clocks of tablets are not exact. */
const CLOCK_GRACE_MS = 600_000;

interface ChainRow {
  doorId: string;
  kind: string;
  fittedAt: number;
  /** Null: it is still there. */
  removedAt: number | null;
  /** Null: no such measurement of this part. */
  correctable: boolean | null;
}

/**
 * Records how long a fitted chain was found to be, in the caller's own transaction, once `chainMeasurementCreate` has let it pass.
 * Writes no ledger entry: that is the caller's, who knows what it was part of.
 * @returns the id of the measurement, or the field that stands against it.
 */
export async function recordChainMeasurement(
  transaction: CompanyTransaction,
  context: CompanyContext,
  given: ChainMeasurementCreate,
  now: Date,
): Promise<{ id: string } | FieldError> {
  const [part] = await runSql<ChainRow>(
    transaction,
    `SELECT f.door_id AS "doorId", p.kind, (extract(epoch FROM f.fitted_at) * 1000)::float8 AS "fittedAt",
       (extract(epoch FROM f.removed_at) * 1000)::float8 AS "removedAt",
       (SELECT NOT EXISTS (SELECT FROM chain_measurement c WHERE c.company_id = m.company_id AND c.corrects_id = m.id)
        FROM chain_measurement m WHERE m.company_id = f.company_id AND m.fitted_part_id = f.id AND m.id = $3::uuid) AS correctable
     FROM fitted_part f JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id
     WHERE f.company_id = $1::uuid AND f.id = $2::uuid`,
    [context.companyId, given.fittedPartId, given.correctsId ?? null],
  );
  if (part === undefined) return { field: 'fittedPartId', message: 'there is no such fitted part' };
  const elongation = elongationOf(given);
  const against = wrongAt(part, given, elongation, now);
  if (against !== null) return against;
  const id = newId();
  await runSql(
    transaction,
    `INSERT INTO chain_measurement (company_id, id, door_id, fitted_part_id, measured_at, lifetime_cycles, pitches, length_mm, pitch_mm,
       elongation_percent, corrects_id, note, account_id)
     VALUES ($1::uuid, $2::uuid, $3::uuid, $4::uuid, $5::timestamptz, $6::bigint, $7::int, $8::numeric, $9::numeric, $10::float8, $11::uuid, $12, $13::uuid)
     RETURNING id::text`,
    [context.companyId, id, part.doorId, given.fittedPartId, new Date(given.measuredAt).toISOString(), given.lifetimeCycles ?? null,
      given.pitches ?? null, given.lengthMm ?? null, given.pitchMm ?? null, elongation, given.correctsId ?? null, given.note || null, context.accountId],
  );
  return { id };
}

/** Of a checked measurement: as given, or from the length. */
function elongationOf({ elongationPercent, lengthMm, pitches, pitchMm }: ChainMeasurementCreate): number {
  return elongationPercent ?? chainElongation({ length: lengthMm!, pitches: pitches!, pitch: pitchMm! });
}

function wrongAt(part: ChainRow, given: ChainMeasurementCreate, elongation: number, now: Date): FieldError | null {
  const at = Date.parse(given.measuredAt);
  if (part.kind !== 'drive-chain') return { field: 'fittedPartId', message: 'is not a chain' };
  if (at > now.getTime() + CLOCK_GRACE_MS) return { field: 'measuredAt', message: 'lies in the future' };
  if (at < part.fittedAt) return { field: 'measuredAt', message: 'lies before this chain was fitted' };
  if (part.removedAt !== null && at > part.removedAt) return { field: 'measuredAt', message: 'lies after this chain was removed' };
  if (!(elongation >= elongationRange.least && elongation <= elongationRange.most)) {
    return { field: 'lengthMm', message: `gives an elongation of ${elongation.toFixed(1)} %: check length, pitches and pitch` };
  }
  if (given.correctsId == null || part.correctable === true) return null;
  return { field: 'correctsId', message: part.correctable === null ? 'is no measurement of this chain' : 'has been corrected already' };
}
