import {
  owner, ownerChange, ownerCreate, ownerList, site, siteChange, siteCreate, siteList, siteRules, zone, zoneChange, zoneCreate,
  zoneList,
} from '@lintel/contract';
import type { CompanyDb } from '@lintel/store';
import type { Row, WriteDefinition } from '../platform/resource/definition.js';
import { invalidField } from '../platform/refusal.js';
import { reprojectCompany } from './reproject.js';

const room = 'fleet';

export const owners: WriteDefinition = {
  path: 'owners', room, resource: 'owners', subject: 'owner', view: 'owner_list', record: owner, list: ownerList,
  search: ['name', 'contactName', 'email'],
  model: 'owner',
  create: { schema: ownerCreate },
  change: { schema: ownerChange },
  archive: {
    async usedBy(db, ownerId) {
      const sites = await db.site.count({ where: { ownerId, archivedAt: null } });
      const accounts = await db.account.count({ where: { ownerId, active: true } });
      if (sites > 0) return `This owner still has ${sites} sites: archive those first.`;
      return accounts > 0 ? `${accounts} people of this owner can still sign in: close their accounts first.` : null;
    },
  },
};

export const sites: WriteDefinition = {
  path: 'sites', room, resource: 'sites', subject: 'site', view: 'site_list', record: site, list: siteList,
  search: ['name', 'address', 'ownerName'],
  model: 'site',
  create: {
    schema: siteCreate,
  },
  change: { schema: siteChange, rules: siteRules },
  archive: {
    async usedBy(db, siteId) {
      const doors = await db.door.count({ where: { siteId, state: { not: 'decommissioned' } } });
      return doors > 0 ? `This site still has ${doors} doors: decommission those first.` : null;
    },
  },
  async after(db, context, { given }) {
    await checkZone(db, given);
    // Dates are in the site's calendar, and its regime tightens the inspections of all its doors.
    if ('timeZone' in given || 'regimeMonths' in given) await reprojectCompany(db, context);
  },
};

/** Node and PostgreSQL bring their own lists of zones: one that only the former knows would break every list of dates. */
async function checkZone(db: CompanyDb, given: Row): Promise<void> {
  const zoneName = given['timeZone'];
  if (typeof zoneName !== 'string') return;
  const found = await db.$queryRaw<unknown[]>`SELECT 1 FROM pg_timezone_names WHERE name = ${zoneName}`;
  if (found.length === 0) throw invalidField('timeZone', 'is not a time zone that the database knows');
}

export const zones: WriteDefinition = {
  path: 'zones', room, resource: 'zones', subject: 'zone', view: 'zone_list', record: zone, list: zoneList,
  search: ['name', 'siteName'],
  model: 'zone',
  create: { schema: zoneCreate },
  change: { schema: zoneChange },
  archive: {
    async usedBy(db, zoneId) {
      const doors = await db.door.count({
        where: { state: { not: 'decommissioned' }, OR: [{ fromZoneId: zoneId }, { toZoneId: zoneId }] },
      });
      return doors > 0 ? `${doors} doors still lead to this zone.` : null;
    },
  },
};

/** Refuses what is new at a place that is archived. */
export async function requireLive(db: CompanyDb, given: { siteId?: unknown; doorTypeId?: unknown }): Promise<void> {
  if (typeof given.siteId === 'string' && (await db.site.count({ where: { id: given.siteId, archivedAt: null } })) === 0) {
    throw invalidField('siteId', 'there is no such site, or it is archived');
  }
  if (typeof given.doorTypeId === 'string' && (await db.doorType.count({ where: { id: given.doorTypeId, archivedAt: null } })) === 0) {
    throw invalidField('doorTypeId', 'there is no such door type, or it is archived');
  }
}
