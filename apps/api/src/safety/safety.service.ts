import type { CompetenceRevoke, ForceLimitSet, ForceLimitsInUse, Instrument, InstrumentFitness } from '@lintel/contract';
import { forceGauges, forceLimitsInUse, gaugeReasons, setForceLimit, writeLedger, type Store } from '@lintel/store';
import { Inject, Injectable } from '@nestjs/common';
import type { Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';
import { invalidField, Refusal } from '../platform/refusal.js';
import type { Row } from '../platform/resource/definition.js';
import { Reader } from '../platform/resource/reader.js';
import { stale, Writer } from '../platform/resource/writer.js';
import { calibrations, competences, instruments } from './definitions.js';
import { latestDate } from './latestDate.js';

const limitWords: Record<string, [field: string, message: string]> = {
  'no-such-row': ['row', 'there is no such row'],
  'not-a-value': ['value', 'must be above 0, and whole where it counts readings or months'],
  unchanged: ['value', 'is the value already'],
  'looser-without-reason': ['reason', 'is needed: the value is looser than the present one'],
};

/** Force limits, instruments and competences, as far as they are more than rows. */
@Injectable()
export class SafetyService {
  constructor(
    @Inject(STORE) private readonly store: Store,
    @Inject(Reader) private readonly reader: Reader,
    @Inject(Writer) private readonly writer: Writer,
  ) {}

  limits({ context }: Caller): Promise<ForceLimitsInUse> {
    return this.store.withCompanySql(context, forceLimitsInUse);
  }

  async setLimit(caller: Caller, version: number, given: ForceLimitSet): Promise<ForceLimitsInUse> {
    const { context, name: byName } = caller;
    const refused = await this.writer.inCompany(context, (db) => setForceLimit(db, context, { ...given, version, byName, now: new Date() }));
    const now = await this.limits(caller);
    if (refused === null) return now;
    if (refused.refused === 'stale') throw stale(now);
    const [field, message] = limitWords[refused.refused]!;
    throw invalidField(field, message);
  }

  /** Why a force gauge may not be used on a day. */
  async fitness(caller: Caller, id: string, on: string): Promise<InstrumentFitness> {
    const row = (await this.reader.one(instruments, caller, id)) as unknown as Instrument;
    if (row.kind !== 'force-gauge') throw new Refusal('conflict', 'Only a force gauge is checked against the force limits.');
    return this.store.withCompanySql(caller.context, async (client) => {
      const [own] = await forceGauges(client, id);
      if (own === undefined) throw new Refusal('conflict', 'This gauge is retired.');
      return { on, reasons: await gaugeReasons(client, own.gauge, on) };
    });
  }

  async withdraw(caller: Caller, id: string, reason: string): Promise<Row> {
    const { context } = caller;
    const row = await this.reader.one(calibrations, caller, id);
    const done = await this.writer.inCompany(context, async (db) => {
      const data = { withdrawnAt: new Date(), withdrawnById: context.accountId, withdrawnReason: reason };
      if ((await db.calibration.updateMany({ where: { id, withdrawnAt: null }, data })).count === 0) return false;
      const detail = { instrumentId: row['instrumentId'], calibratedOn: row['calibratedOn'], reason };
      await writeLedger(db, context, { action: 'calibration-withdrawn', subjectKind: calibrations.subject, subjectId: id, detail });
      return true;
    });
    if (!done) throw new Refusal('conflict', 'This calibration is withdrawn already.');
    return this.reader.one(calibrations, caller, id);
  }

  async revoke(caller: Caller, id: string, { reason, revokedOn }: CompetenceRevoke): Promise<Row> {
    const { context } = caller;
    const row = await this.reader.one(competences, caller, id);
    if (revokedOn > latestDate()) throw invalidField('revokedOn', 'lies in the future');
    if (revokedOn < (row['validFrom'] as string)) throw invalidField('revokedOn', 'lies before the day from which it is valid');
    const done = await this.writer.inCompany(context, async (db) => {
      const data = { revokedOn: new Date(`${revokedOn}T00:00:00Z`), revokedById: context.accountId, revokedReason: reason };
      if ((await db.competence.updateMany({ where: { id, revokedOn: null }, data })).count === 0) return false;
      const detail = { accountId: row['accountId'], kind: row['kind'], revokedOn, reason };
      await writeLedger(db, context, { action: 'competence-revoked', subjectKind: competences.subject, subjectId: id, detail });
      return true;
    });
    if (!done) throw new Refusal('conflict', 'This competence is revoked already.');
    return this.reader.one(competences, caller, id);
  }
}

