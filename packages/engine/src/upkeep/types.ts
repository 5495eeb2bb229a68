/** A date in the site's own calendar, `YYYY-MM-DD`. */
export type CivilDate = string;

/** The recurrence of one task of a maintenance plan. At least one interval is set. */
export interface TaskRule {
  intervalCycles: number | null;
  intervalMonths: number | null;
  /** `completion`: months count from the last completion; `fixed`: from `fixedFrom`, whatever was done when. */
  anchor: 'completion' | 'fixed';
  fixedFrom: CivilDate | null;
  /**
   * A safety inspection: P10 date for cycles, never extended by any computation, no grace unless its source
   * gives one.
   */
  safety: boolean;
  /**
   * How many days before and after the due date it may be done. `graceDays` of a safety task is 0 unless its
   * regime says otherwise.
   */
  earlyDays: number;
  graceDays: number;
}

/** When the task was last done on this door, or, if never, when the door came into service. */
export interface TaskBasis {
  kind: 'completion' | 'in-service';
  on: CivilDate;
  lifetimeCycles: number;
}

/** Why a due item has its date: codes and facts; the pages make the sentence. */
export interface DueReason {
  rule: 'calendar' | 'cycles';
  basis: TaskBasis;
  /** The interval that set the date, in its own unit (months or cycles). */
  interval: number;
  /** For the calendar rule: the site's regime tightened the task's own months. */
  tightenedByRegime: boolean;
  /**
   * For the cycle rule: cycles still to go at the model's `asOf`, the chance used (0.1 or 0.5), and the last
   * reading behind it.
   */
  cyclesToGo: number | null;
  quantile: number | null;
  lastReadingAt: number | null;
  /** The date that the other rule gave, if there was one. */
  otherRuleDue: CivilDate | null;
}

export interface DueItem {
  earliest: CivilDate;
  due: CivilDate;
  latest: CivilDate;
  /** From the day after `latest`. */
  overdue: boolean;
  why: DueReason;
}

/**
 * Why a task has no date: it has no interval, or months on fixed dates but no first date; it goes by cycles
 * only and the door's duty is not known, or so low that they are not reached within a hundred years.
 */
export interface NotDue {
  none: 'no-interval' | 'no-fixed-date' | 'no-duty' | 'not-within-a-century';
}
