import type { InstrumentFitness } from '@lintel/contract';
import { checkGauge } from '@lintel/engine';
import type { CivilDate, ForceGauge } from '@lintel/engine';
import type { CompanyTransaction } from '../sqlRunner.js';
import { forceLimitsInUse } from './forceLimitsInUse.js';

/** Why a gauge may not be used on a day, by the company's limits in use: the engine's `checkGauge`. */
export async function gaugeReasons(transaction: CompanyTransaction, gauge: ForceGauge, on: CivilDate): Promise<InstrumentFitness['reasons']> {
  const { table } = await forceLimitsInUse(transaction);
  return checkGauge(gauge, on, table).map(({ code, facts }) => ({ code, facts: facts as InstrumentFitness['reasons'][number]['facts'] }));
}
