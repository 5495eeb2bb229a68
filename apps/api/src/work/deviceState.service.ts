import {
  counter, door, doorType, finding, fittedPart, manual, position, site, type DeviceDoor, type DeviceState, type DeviceStateQuery,
} from '@lintel/contract';
import { deviceChecks } from '@lintel/engine';
import { forceGauges, type Store } from '@lintel/store';
import { Inject, Injectable } from '@nestjs/common';
import type pg from 'pg';
import type { Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';
import { Reader } from '../platform/resource/reader.js';
import { columnsOf, wholeOrders } from './wholeOrders.js';

/** More than anybody has in a week; beyond it the nearest come. */
const mostOrders = 300;
const closedDays = 7;

/**
 * Orders of a technician: released or started and planned up to some days ahead (what should have been done before stays), and those
 * closed in the last days.
 */
const MINE = `SELECT id FROM work_order o WHERE technician_id = $1::uuid AND (
    (state IN ('released', 'started') AND (state = 'started' OR planned_on IS NULL OR planned_on <= $2::date + $3::int))
    OR (state IN ('completed', 'reviewed') AND completed_at >= $2::date - ${closedDays})
    OR (state = 'cancelled' AND released_at IS NOT NULL AND cancelled_at >= $2::date - ${closedDays}))`;
const NEAREST = `${MINE} ORDER BY planned_on NULLS FIRST, number LIMIT ${mostOrders}`;
const CHANGED = 'SELECT id FROM work_order WHERE change_no > $2 AND (technician_id = $1::uuid OR $1::uuid = ANY (former_ids))';
const COUNT = 'SELECT change_no AS "changeNo" FROM work_counter';

const DOORS = `SELECT ${columnsOf(door)} FROM door_list WHERE id = ANY ($1::uuid[])`;
const SITES = `SELECT ${columnsOf(site)} FROM site_list WHERE id = ANY ($1::uuid[])`;
const TYPES = `SELECT ${columnsOf(doorType)} FROM door_type_list WHERE id = ANY ($1::uuid[])`;
const POSITIONS = `SELECT ${columnsOf(position)} FROM position_list WHERE "doorTypeId" = ANY ($1::uuid[]) AND NOT archived ORDER BY ordinal, id`;
const PARTS = `SELECT ${columnsOf(fittedPart)} FROM fitted_part_list WHERE "doorId" = ANY ($1::uuid[]) AND fitted ORDER BY "positionOrdinal", id`;
const COUNTERS = `SELECT ${columnsOf(counter, 'c.')}, r.value AS "lastValue", r.at AS "lastReadingAt" FROM counter_list c
  LEFT JOIN LATERAL (SELECT value, at FROM reading r WHERE r.door_id = c."doorId" AND r.counter_id = c.id ORDER BY at DESC LIMIT 1) r ON true
  WHERE c."doorId" = ANY ($1::uuid[]) ORDER BY c."fittedAt"`;
const FINDINGS = `SELECT ${columnsOf(finding)} FROM finding_list WHERE "doorId" = ANY ($1::uuid[]) AND open ORDER BY "foundAt", id`;
const HISTORY = `SELECT d.id AS "of", e.kind, e.at, e.text FROM unnest($1::uuid[]) AS d(id) CROSS JOIN LATERAL (
    (SELECT 'reading' AS kind, at, value::text AS text FROM reading WHERE door_id = d.id ORDER BY at DESC LIMIT 30)
    UNION ALL (SELECT 'completion', c.done_at, concat(t.name, CASE WHEN c.passed THEN '' ELSE ' (not passed)' END)
      FROM completion c JOIN task t ON t.company_id = c.company_id AND t.id = c.task_id WHERE c.door_id = d.id ORDER BY c.done_at DESC LIMIT 30)
    UNION ALL (SELECT 'part-fitted', f.fitted_at, p.name FROM fitted_part f JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id
      WHERE f.door_id = d.id ORDER BY f.fitted_at DESC LIMIT 30)
    UNION ALL (SELECT 'part-removed', f.removed_at, concat(p.name, ': ', replace(f.removal_reason::text, '_', ' ')) FROM fitted_part f
      JOIN position p ON p.company_id = f.company_id AND p.id = f.position_id
      WHERE f.door_id = d.id AND f.removed_at IS NOT NULL ORDER BY f.removed_at DESC LIMIT 30)
    UNION ALL (SELECT 'fault', x.at, concat(k.code, ' ', k.name) FROM fault x JOIN fault_code k ON k.company_id = x.company_id AND k.id = x.fault_code_id
      WHERE x.door_id = d.id ORDER BY x.at DESC LIMIT 30)
    UNION ALL (SELECT 'finding', found_at, text FROM finding WHERE door_id = d.id ORDER BY found_at DESC LIMIT 30)
    ORDER BY at DESC LIMIT 30) e ORDER BY e.at DESC`;
const MANUALS = `SELECT ${columnsOf(manual)} FROM manual_list WHERE "doorTypeId" = ANY ($1::uuid[]) AND NOT archived ORDER BY title, id`;
const STOCK = 'SELECT id, code, kind, name FROM stock_part_list WHERE NOT archived ORDER BY code, id LIMIT 5000';

interface Cursor {
  changeNo: number;
  /** Day and span of the answer, and for whom: with another one, orders come in or go out that have not changed. */
  scope: string;
}

/** What a technician's device holds without a signal. */
@Injectable()
export class DeviceStateService {
  constructor(
    @Inject(STORE) private readonly store: Store,
    @Inject(Reader) private readonly reader: Reader,
  ) {}

  state({ context, accountId, name, role }: Caller, { since, days }: DeviceStateQuery): Promise<DeviceState> {
    const now = new Date();
    const today = now.toISOString().slice(0, 10);
    return this.store.withCompanySql(context, async (client) => {
      // Read first: whatever changes after this is above it, and comes the next time.
      const [counted] = await this.ask<{ changeNo: number }>(client, COUNT);
      const changeNo = counted?.changeNo ?? 0;
      const scope = `${today}.${days}.${accountId}`;
      const before = understood(since);
      const reset = before === null || before.scope !== scope || before.changeNo > changeNo;
      const mine = (await this.ask<{ id: string }>(client, NEAREST, accountId, today, days)).map(({ id }) => id);
      const changed = reset ? null : new Set((await this.ask<{ id: string }>(client, CHANGED, accountId, before.changeNo)).map(({ id }) => id));
      const orders = await wholeOrders(client, this.reader, changed === null ? mine : mine.filter((id) => changed.has(id)));
      const doors = await this.doors(client, [...new Set(orders.map(({ doorId }) => doorId))]);
      const typeIds = [...new Set(doors.map(({ doorType: { id } }) => id))];
      return {
        cursor: `${changeNo}.${scope}`,
        serverTime: now.toISOString(),
        reset,
        orders,
        gone: changed === null ? [] : [...changed].filter((id) => !mine.includes(id)),
        doors,
        manuals: await this.ask(client, MANUALS, typeIds),
        instruments: await forceGauges(client),
        stockParts: await this.ask(client, STOCK),
        deviceChecks: [...deviceChecks],
        me: { id: accountId, name, role },
      };
    });
  }

  private async doors(client: pg.PoolClient, ids: string[]): Promise<DeviceDoor[]> {
    const doors = await this.ask<DeviceDoor['door']>(client, DOORS, ids);
    const sites = byKey(await this.ask<DeviceDoor['site']>(client, SITES, doors.map(({ siteId }) => siteId)), 'id');
    const typeIds = doors.map(({ doorTypeId }) => doorTypeId);
    const types = byKey(await this.ask<DeviceDoor['doorType']>(client, TYPES, typeIds), 'id');
    const positions = byKey(await this.ask<DeviceDoor['positions'][number]>(client, POSITIONS, typeIds), 'doorTypeId');
    const parts = byKey(await this.ask<DeviceDoor['parts'][number]>(client, PARTS, ids), 'doorId');
    const counters = byKey(await this.ask<DeviceDoor['counters'][number]>(client, COUNTERS, ids), 'doorId');
    const findings = byKey(await this.ask<DeviceDoor['findings'][number]>(client, FINDINGS, ids), 'doorId');
    const history = byKey(await this.ask<DeviceDoor['history'][number] & { of: string }>(client, HISTORY, ids), 'of');
    return doors.map((one) => ({
      door: one,
      site: sites.get(one.siteId)![0]!,
      doorType: types.get(one.doorTypeId)![0]!,
      positions: positions.get(one.doorTypeId) ?? [],
      parts: parts.get(one.id) ?? [],
      counters: counters.get(one.id) ?? [],
      history: (history.get(one.id) ?? []).map(({ kind, at, text }) => ({ kind, at, text })),
      findings: findings.get(one.id) ?? [],
    }));
  }

  private ask<T extends object>(client: pg.PoolClient, text: string, ...values: unknown[]): Promise<T[]> {
    return this.reader.rows<T>(client, { text, values });
  }
}

function understood(since: string | undefined): Cursor | null {
  const match = /^(\d{1,15})\.(.+)$/.exec(since ?? '');
  return match === null ? null : { changeNo: Number(match[1]), scope: match[2]! };
}

function byKey<Row extends object, Key extends keyof Row>(rows: readonly Row[], key: Key): Map<Row[Key], Row[]> {
  const groups = new Map<Row[Key], Row[]>();
  for (const row of rows) groups.set(row[key], [...(groups.get(row[key]) ?? []), row]);
  return groups;
}
