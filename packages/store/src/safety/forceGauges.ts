import type { ForceGauge } from '@lintel/engine';
import { runSql, type CompanyTransaction } from '../sqlRunner.js';

/** A force gauge of the company's, with the calibration that stands. */
export interface OwnGauge {
  id: string;
  name: string;
  serial: string | null;
  gauge: ForceGauge;
}

type Row = Omit<ForceGauge, 'calibratedOn' | 'calibrationDueOn'> &
  Omit<OwnGauge, 'gauge'> & { calibratedOn: string | null; calibrationDueOn: string | null };

/** The force gauges that are not retired, or the one asked for, as the engine's `checkGauge` wants them; by name. */
export async function forceGauges(transaction: CompanyTransaction, instrumentId: string | null = null): Promise<OwnGauge[]> {
  const rows = await runSql<Row>(
    transaction,
    `SELECT id::text AS id, name, serial, "samplingHertz", "accuracyPercent", "rangeFromNewton", "rangeToNewton", "springNewtonPerMm", "discMm",
       "calibratedOn"::text AS "calibratedOn", "dueOn"::text AS "calibrationDueOn"
     FROM instrument_list WHERE kind = 'force-gauge' AND NOT archived AND ($1::uuid IS NULL OR id = $1::uuid) ORDER BY name, id`,
    [instrumentId],
  );
  return rows.map(({ id, name, serial, calibratedOn, calibrationDueOn, ...figures }) => ({
    id,
    name,
    serial,
    gauge: { ...figures, ...(calibratedOn !== null && { calibratedOn }), ...(calibrationDueOn !== null && { calibrationDueOn }) },
  }));
}
