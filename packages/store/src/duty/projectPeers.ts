import { peerPrior } from '@lintel/engine';
import type { RatePrior } from '@lintel/engine';
import type pg from 'pg';

/** What a door's own readings say of its rate. */
export interface PeerEvidence {
  doorId: string;
  siteId: string;
  doorTypeId: string;
  cycles: number;
  days: number;
}

/** Fewer peers than this say little of a spread: then the next wider group is asked. Common practice, no source. */
const ENOUGH_PEERS = 3;
/** In groups larger than this a door's own share is below one in a hundred, and one prior is made for all of them. */
const SHARED_ABOVE = 100;
const COMPANY = 'company';

/** Doors by site and type, by type, and all together. */
export class PeerGroups {
  private readonly groups = new Map<string, PeerEvidence[]>();

  constructor(evidence: Iterable<PeerEvidence>) {
    for (const peer of evidence) {
      if (!(peer.days > 0)) continue;
      for (const key of keysOf(peer)) {
        const group = this.groups.get(key);
        if (group === undefined) this.groups.set(key, [peer]);
        else group.push(peer);
      }
    }
  }

  get(key: string): readonly PeerEvidence[] {
    return this.groups.get(key) ?? [];
  }
}

/**
 * The peers of doors: same site and door type; if those are fewer than three, same door type; else the whole company. Evidence
 * found just now stands in place of that of the last projection. A door is not its own peer (but for its share in a group of
 * more than a hundred).
 */
export class Peers {
  private readonly fresh: PeerGroups;
  private readonly replaced: ReadonlySet<string>;
  private readonly groups = new Map<string, { members: PeerEvidence[]; prior: RatePrior | null }>();

  constructor(
    private readonly last: PeerGroups,
    fresh: readonly PeerEvidence[],
  ) {
    this.fresh = new PeerGroups(fresh);
    this.replaced = new Set(fresh.map((peer) => peer.doorId));
  }

  /** What is said of a door before its own readings. */
  priorOf(door: { doorId: string; siteId: string; doorTypeId: string }): RatePrior {
    for (const key of keysOf(door)) {
      const group = this.group(key);
      if (group.prior !== null) return group.prior;
      const others = group.members.filter((peer) => peer.doorId !== door.doorId);
      if (others.length >= ENOUGH_PEERS || key === COMPANY) return peerPrior(others);
    }
    return peerPrior([]);
  }

  private group(key: string): { members: PeerEvidence[]; prior: RatePrior | null } {
    let group = this.groups.get(key);
    if (group === undefined) {
      const members = [...this.last.get(key).filter((peer) => !this.replaced.has(peer.doorId)), ...this.fresh.get(key)];
      group = { members, prior: members.length > SHARED_ABOVE ? peerPrior(members) : null };
      this.groups.set(key, group);
    }
    return group;
  }
}

function keysOf({ siteId, doorTypeId }: { siteId: string; doorTypeId: string }): string[] {
  return [`${siteId}/${doorTypeId}`, doorTypeId, COMPANY];
}

/** The evidence of all doors of the company, from their last projection. */
export async function loadEvidence(client: pg.ClientBase, companyId: string): Promise<PeerGroups> {
  const { rows } = await client.query<PeerEvidence>(
    `SELECT d.id AS "doorId", d.site_id AS "siteId", d.door_type_id AS "doorTypeId", o.observed_cycles AS cycles, o.observed_days AS days
     FROM door_duty o JOIN door d ON d.company_id = o.company_id AND d.id = o.door_id
     WHERE o.company_id = $1::uuid AND o.observed_days > 0 ORDER BY d.id`,
    [companyId],
  );
  return new PeerGroups(rows);
}
