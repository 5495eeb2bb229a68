import { type CivilDate, parseCivilDate } from '../upkeep/index.js';

/** What somebody can be competent for. */
export type CompetenceKind = 'safety-inspection' | 'force-measurement' | 'electrical' | 'mechanical';

export interface CompetenceRecord {
  id: string;
  accountId: string;
  kind: CompetenceKind;
  validFrom: CivilDate;
  /** The last day; absent: without end. */
  validUntil?: CivilDate;
  /** The first day on which it holds no more. */
  revokedOn?: CivilDate;
}

/** `not-kept`: the company keeps no record of this kind for anybody. The others but `competent` are reasons against. */
export type CompetenceVerdictCode = 'competent' | 'not-kept' | 'none' | 'not-yet' | 'expired' | 'revoked';

export interface CompetenceVerdict {
  verdict: CompetenceVerdictCode;
  /** Whether whoever it is about must not do the work. */
  blocks: boolean;
  /** What the verdict goes by: the record that holds, or else the one that held last. */
  record?: CompetenceRecord;
}

/**
 * Whether somebody is competent for a kind of work on a day, from all records of the company. A record holds from `validFrom`
 * through `validUntil`, and no more from `revokedOn` on.
 *
 * The rule: a company that has recorded no competence of the kind, for nobody, is not blocked (`not-kept`, to be told);
 * once there is one record of the kind, whoever it is of and however it stands, only those do the work who have one that
 * holds. Who is competent remains the company's word (for power-operated doors ASR A1.7 section 10 asks for competent persons
 * who can judge the door and have measuring gear; read in pages quoting it).
 * @param on the day of the work, in the site's calendar. @throws RangeError if it is no date. O(records).
 */
export function competenceOn(
  records: readonly CompetenceRecord[],
  { accountId, kind, on }: { accountId: string; kind: CompetenceKind; on: CivilDate },
): CompetenceVerdict {
  parseCivilDate(on, 'on');
  const kept = records.filter((record) => record.kind === kind);
  if (kept.length === 0) return { verdict: 'not-kept', blocks: false };
  const own = kept.filter((record) => record.accountId === accountId);
  if (own.length === 0) return { verdict: 'none', blocks: true };
  const judged = own.map((record) => ({ record, verdict: standing(record, on) }));
  const holding = judged.filter(({ verdict }) => verdict === 'competent');
  // The one that holds longest; else the one that ended last, so that the reason is the newest.
  const [best] = (holding.length > 0 ? holding : judged).sort((a, b) => (endOf(a.record) < endOf(b.record) ? 1 : -1));
  return { verdict: best!.verdict, blocks: best!.verdict !== 'competent', record: best!.record };
}

const NO_END = '9999-12-31';

function endOf({ validUntil = NO_END, revokedOn = NO_END }: CompetenceRecord): CivilDate {
  return revokedOn < validUntil ? revokedOn : validUntil;
}

function standing({ validFrom, validUntil, revokedOn }: CompetenceRecord, on: CivilDate): CompetenceVerdictCode {
  if (revokedOn !== undefined && on >= revokedOn) return 'revoked';
  if (on < validFrom) return 'not-yet';
  return validUntil !== undefined && on > validUntil ? 'expired' : 'competent';
}
