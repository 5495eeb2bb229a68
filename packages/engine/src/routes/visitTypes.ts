import type { CivilDate } from '../upkeep/types.js';

export const VISIT_ITEM_KINDS = ['safety', 'due', 'renewal', 'finding', 'order'] as const;
export type VisitItemKind = (typeof VISIT_ITEM_KINDS)[number];
export type FindingGrade = 'unsafe' | 'defect' | 'note';

/** One piece of work that a door wants. Dates are in the site's calendar. */
export interface Demand {
  /** Equal for the same work whenever it is looked at. */
  key: string;
  kind: VisitItemKind;
  siteId: string;
  doorId: string;
  minutes: number;
  skills: readonly string[];
  /** Kinds of part that it takes, one entry each. */
  parts: readonly string[];
  /** Not before; null: at any time. */
  earliestOn: CivilDate | null;
  /** Null: whenever one is there. */
  dueOn: CivilDate | null;
  /** A safety inspection is overdue from the day after it. */
  latestOn: CivilDate | null;
  /** Of a finding. */
  grade?: FindingGrade;
  /** Of recurring work: days that one doing of it is good for, so that coming early throws part of them away. */
  intervalDays?: number;
  /** Of a renewal: what replacing the part now saves over leaving it (risk − life thrown away), minor units. */
  gain?: number;
}

/** Minor units of one currency. */
export interface VisitPrices {
  /** Of a technician's minute, on the road or at work. */
  perMinute: number;
  perKm: number;
  /** Of each route that is driven at all. */
  route: number;
  /** Of each visit: a trip of its own. */
  trip: number;
  lateDay: Readonly<Record<'safety' | 'unsafe' | 'defect' | 'note' | 'order' | 'due' | 'renewal', number>>;
  /** Of an announced visit that goes to another technician or day. */
  movedVisit: number;
}

/** Why a piece of work is part of a visit: a code with the facts that a sentence needs. */
export interface JoinReason {
  code: 'due' | 'late' | 'saves-trip' | 'worth-while' | 'ordered' | 'seen';
  facts: Record<string, string | number>;
}

export interface VisitItem extends Demand {
  joins: JoinReason;
  /** Of each day later than due; a safety inspection has the safety price from its latest date on besides. */
  lateDay: number;
  /** Of each day earlier than due. */
  earlyDay: number;
}

/** What may be done at one site in one go. */
export interface CandidateVisit {
  siteId: string;
  items: VisitItem[];
  minutes: number;
  skills: string[];
  /** The latest of its items' earliest dates. */
  notBefore: CivilDate | null;
  /** When the first of its items falls due. */
  dueOn: CivilDate;
}
