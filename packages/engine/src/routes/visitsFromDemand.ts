import { addDays } from 'date-fns';
import { formatCivilDate, parseCivilDate } from '../upkeep/civilDate.js';
import type { CivilDate } from '../upkeep/types.js';
import { dayPrices, daysBetween } from './visitPrices.js';
import type { CandidateVisit, Demand, JoinReason, VisitItem, VisitPrices } from './visitTypes.js';

export interface VisitOptions {
  /** The first day on which one could come. */
  fromOn: CivilDate;
  /** Work that falls due within so many days is looked at. */
  horizonDays: number;
  /** A visit is not longer; a single piece of work may be. */
  visitMinutes: number;
  prices: VisitPrices;
  /** The skills of each technician: work that no one of them could do together is not put together. */
  technicianSkills: readonly (readonly string[])[];
}

/**
 * Bundles what doors want into candidate visits, site by site. What falls due first opens a visit; other work of the site
 * joins it where it may be done by then and coming early costs less than a trip of its own, renewals where they save more
 * than their minutes cost. Safety comes first where a visit gets too long. Nothing of the demand that is due within the
 * horizon is lost; a renewal without a visit to join is none. Visits by site, then by due date. O(n² ) in the work of a site.
 */
export function visitsFromDemand(demand: readonly Demand[], options: VisitOptions): CandidateVisit[] {
  const last = formatCivilDate(addDays(parseCivilDate(options.fromOn, 'fromOn'), options.horizonDays));
  const bySite = new Map<string, Demand[]>();
  for (const one of demand) {
    const due = one.dueOn === null || one.dueOn <= last;
    if (due) bySite.set(one.siteId, [...(bySite.get(one.siteId) ?? []), one]);
  }
  return [...bySite.keys()].sort().flatMap((siteId) => visitsOfSite(bySite.get(siteId)!, options));
}

function visitsOfSite(demand: readonly Demand[], options: VisitOptions): CandidateVisit[] {
  const waiting = demand.filter(({ dueOn }) => dueOn !== null).sort((a, b) => urgency(a, options.fromOn) - urgency(b, options.fromOn) || byDate(a, b));
  let whenThere = demand.filter(({ dueOn }) => dueOn === null).sort((a, b) => (b.gain ?? 0) - (a.gain ?? 0) || order(a, b));
  const visits: CandidateVisit[] = [];
  while (waiting.length > 0) {
    const visit = new Bundle(options, waiting.shift()!);
    takeFrom(waiting, (one) => visit.takes(one));
    whenThere = whenThere.filter((one) => !visit.takes(one));
    visits.push(visit.finished());
  }
  return visits;
}

/** Takes out of a list what is wanted. */
function takeFrom(list: Demand[], wanted: (one: Demand) => boolean): void {
  const left = list.filter((one) => !wanted(one));
  list.splice(0, list.length, ...left);
}

const order = (a: Demand, b: Demand): number => (a.key < b.key ? -1 : 1);
const lastDay = (one: Demand): CivilDate => one.latestOn ?? one.dueOn!;
/** An unsafe door first, then safety inspections that are overdue, then the rest. */
const urgency = (one: Demand, fromOn: CivilDate): number =>
  one.grade === 'unsafe' ? 0 : one.kind === 'safety' && lastDay(one) < fromOn ? 1 : 2;

/** By the last day on which it may be done; of one day safety first. */
function byDate(a: Demand, b: Demand): number {
  const date = lastDay(a) < lastDay(b) ? -1 : lastDay(a) > lastDay(b) ? 1 : 0;
  return date || Number(b.kind === 'safety') - Number(a.kind === 'safety') || order(a, b);
}

class Bundle {
  private readonly items: VisitItem[] = [];
  private minutes = 0;
  private skills = new Set<string>();
  /** The day that is thought of: when the first work falls due, or the first day there is. */
  private readonly on: CivilDate;

  constructor(private readonly options: VisitOptions, first: Demand) {
    this.on = first.dueOn! > options.fromOn ? first.dueOn! : options.fromOn;
    // Work may be due before it may be done: then it is not opened earlier than that.
    if (first.earliestOn !== null && first.earliestOn > this.on) this.on = first.earliestOn;
    this.add(first, this.reasonOf(first) ?? { code: 'due', facts: { dueOn: first.dueOn! } });
  }

  takes(one: Demand): boolean {
    if (this.minutes + one.minutes > this.options.visitMinutes) return false;
    if (one.earliestOn !== null && one.earliestOn > this.on) return false;
    if (!this.someoneHas(one.skills)) return false;
    const reason = this.reasonOf(one);
    if (reason === null) return false;
    this.add(one, reason);
    return true;
  }

  private someoneHas(skills: readonly string[]): boolean {
    const all = [...this.skills, ...skills];
    return this.options.technicianSkills.some((has) => all.every((skill) => has.includes(skill)));
  }

  private reasonOf(one: Demand): JoinReason | null {
    const { prices } = this.options;
    if (one.dueOn === null) {
      const saves = one.gain ?? 0;
      const costs = one.minutes * prices.perMinute;
      return saves > costs ? { code: 'worth-while', facts: { saves, costs } } : null;
    }
    const facts = { dueOn: one.dueOn, ...(one.latestOn === null ? {} : { latestOn: one.latestOn }) };
    if (one.kind === 'order') return { code: 'ordered', facts };
    if (one.kind === 'finding') return { code: 'seen', facts: { ...facts, grade: one.grade ?? 'defect' } };
    const early = daysBetween(this.on, one.dueOn);
    if (early < 0) return { code: 'late', facts: { ...facts, days: -early } };
    if (early === 0) return { code: 'due', facts };
    const costs = early * dayPrices(one, prices).earlyDay;
    return costs <= prices.trip ? { code: 'saves-trip', facts: { ...facts, days: early, costs, saves: prices.trip } } : null;
  }

  private add(one: Demand, joins: JoinReason): void {
    this.items.push({ ...one, joins, ...dayPrices(one, this.options.prices) });
    this.minutes += one.minutes;
    for (const skill of one.skills) this.skills.add(skill);
  }

  finished(): CandidateVisit {
    const earliest = this.items.flatMap(({ earliestOn }) => earliestOn ?? []).sort();
    const due = this.items.flatMap(({ dueOn }) => dueOn ?? []).sort();
    return {
      siteId: this.items[0]!.siteId,
      items: this.items,
      minutes: this.minutes,
      skills: [...this.skills].sort(),
      notBefore: earliest.at(-1) ?? null,
      dueOn: due[0]!,
    };
  }
}
