/** A visit of a plan as far as it is compared. */
export interface ComparedVisit {
  id: string;
  siteId: string;
  /** Keys of its work. */
  keys: readonly string[];
  /** Of work at the door. */
  minutes: number;
  technicianId: string | null;
  on: string | null;
  startAtMs: number | null;
  announced: boolean;
}

export interface PlanChanges {
  moved: { before: ComparedVisit; after: ComparedVisit; otherRoute: boolean }[];
  added: ComparedVisit[];
  dropped: ComparedVisit[];
  /** Where and when as before, with other work: keys that came and went, minutes that grew (negative: shrank). */
  reworked: { before: ComparedVisit; after: ComparedVisit; gained: string[]; lost: string[]; minutes: number }[];
  /** The same place, time and work. */
  unchanged: number;
}

/** Starts that differ by less are the same to whoever waits at the door. A choice of this project, no source. */
const SAME_START_MS = 60_000;

/**
 * What one plan changes against another: visits to the same site that share most of their work are the same visit.
 * Those left out of a plan count as not there. A visit that moved and has other work besides is in both lists. O(visits²) a site at worst.
 */
export function comparePlans(before: readonly ComparedVisit[], after: readonly ComparedVisit[]): PlanChanges {
  const partner = pairVisits(before, after);
  const changes: PlanChanges = { moved: [], added: [], dropped: [], reworked: [], unchanged: 0 };
  const paired = new Set(partner.values());
  for (const visit of before) {
    const now = partner.get(visit);
    const was = visit.technicianId !== null;
    const is = now !== undefined && now.technicianId !== null;
    if (was && !is) changes.dropped.push(visit);
    else if (!was && is) changes.added.push(now);
    else if (was && is) {
      const otherRoute = visit.technicianId !== now.technicianId || visit.on !== now.on;
      const otherHour = Math.abs(visit.startAtMs! - now.startAtMs!) >= SAME_START_MS;
      const other = otherWork(visit, now);
      if (otherRoute || otherHour) changes.moved.push({ before: visit, after: now, otherRoute });
      if (other !== null) changes.reworked.push({ before: visit, after: now, ...other });
      if (!otherRoute && !otherHour && other === null) changes.unchanged += 1;
    }
  }
  changes.added.push(...after.filter((visit) => visit.technicianId !== null && !paired.has(visit)));
  return changes;
}

/** What the work of a visit gained, lost and takes longer; null: it is the same work. */
function otherWork(before: ComparedVisit, after: ComparedVisit): { gained: string[]; lost: string[]; minutes: number } | null {
  const gained = after.keys.filter((key) => !before.keys.includes(key));
  const lost = before.keys.filter((key) => !after.keys.includes(key));
  const minutes = after.minutes - before.minutes;
  return gained.length > 0 || lost.length > 0 || minutes !== 0 ? { gained, lost, minutes } : null;
}

/** Each visit's partner, those that share most first. */
export function pairVisits<Visit extends { siteId: string; keys: readonly string[] }>(
  before: readonly Visit[],
  after: readonly Visit[],
): Map<Visit, Visit> {
  const pairs = before.flatMap((one) =>
    after.flatMap((other) => {
      const shared = one.siteId === other.siteId ? one.keys.filter((key) => other.keys.includes(key)).length : 0;
      return shared > 0 ? [{ one, other, shared }] : [];
    }),
  );
  const partner = new Map<Visit, Visit>();
  const taken = new Set<Visit>();
  for (const { one, other } of pairs.sort((a, b) => b.shared - a.shared)) {
    if (partner.has(one) || taken.has(other)) continue;
    partner.set(one, other);
    taken.add(other);
  }
  return partner;
}
