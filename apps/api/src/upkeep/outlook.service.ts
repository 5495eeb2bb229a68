import { dueItem, outlookLines, outlookWeeks, type Outlook } from '@lintel/contract';
import type { Store } from '@lintel/store';
import { Inject, Injectable } from '@nestjs/common';
import type pg from 'pg';
import type { Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';
import { Reader } from '../platform/resource/reader.js';

/** From this chance of a failure within 90 days on, a door is named at risk; a choice of this project, no source. */
const riskFrom = 0.2;

const dueColumns = Object.keys(dueItem.shape).map((field) => `"${field}"`).join(', ');
const doorColumns = 'id AS "doorId", name AS "doorName", "siteId", "siteName", "ownerId", "ownerName"';

const OVERDUE_SAFETY = `SELECT ${dueColumns} FROM due_item_list WHERE safety AND overdue ORDER BY "latestOn", id LIMIT $1`;
const AT_RISK = `SELECT ${doorColumns}, "worstPartId" AS "fittedPartId", "worstPartName" AS "partName", "chance90", condition
  FROM door_list WHERE "stateWord" <> 'decommissioned' AND ("conditionWord" = 'worn' OR "chance90" >= $2)
  ORDER BY "chance90" DESC NULLS LAST, id LIMIT $1`;
const OUT_OF_SERVICE = `SELECT ${doorColumns}, state, "stateReason", "stateSince"
  FROM door_list WHERE "stateWord" = 'out_of_service' ORDER BY "stateSince", id LIMIT $1`;
/** Calendar weeks from this week's Monday (ISO 8601); what should have been done before it and may still be is in the first. */
const WEEKS = `WITH start AS (SELECT date_trunc('week', $1::date)::date AS monday),
  week AS (SELECT n, monday + 7 * n AS "from", monday + 7 * n + 6 AS "to" FROM start, generate_series(0, $2::int - 1) AS n),
  counted AS (
    SELECT CASE WHEN overdue THEN 0 ELSE greatest(0, ("dueOn" - monday) / 7) END AS n,
      count(*) FILTER (WHERE safety AND NOT overdue)::int AS safety,
      count(*) FILTER (WHERE NOT safety AND NOT overdue)::int AS maintenance,
      count(*) FILTER (WHERE NOT safety AND overdue)::int AS "overdueOther"
    FROM due_item_list, start WHERE "dueOn" < monday + 7 * $2::int GROUP BY 1)
  SELECT "from", "to", coalesce(safety, 0) AS safety, coalesce(maintenance, 0) AS maintenance,
    coalesce("overdueOther", 0) AS "overdueOther"
  FROM week LEFT JOIN counted USING (n) ORDER BY n`;
const TOTALS = `SELECT count(*)::int AS doors,
    count(*) FILTER (WHERE "stateWord" = 'in_service')::int AS "inService",
    count(*) FILTER (WHERE "stateWord" = 'out_of_service')::int AS "outOfService",
    count(*) FILTER (WHERE "conditionWord" = 'worn')::int AS worn,
    (SELECT count(*)::int FROM due_item_list WHERE safety AND overdue) AS "overdueSafety",
    min("projectedAt") AS "projectedFrom", max("projectedAt") AS "projectedTo"
  FROM door_list WHERE "stateWord" <> 'decommissioned'`;

type TotalsRow = Outlook['totals'] & Pick<Outlook, 'projectedFrom' | 'projectedTo'>;

/** What must be acted on and the weeks ahead; of an owner, on its own sites. */
@Injectable()
export class OutlookService {
  constructor(
    @Inject(STORE) private readonly store: Store,
    @Inject(Reader) private readonly reader: Reader,
  ) {}

  outlook({ context }: Caller): Promise<Outlook> {
    const today = new Date().toISOString().slice(0, 10);
    return this.store.withCompanySql(context, (client) => this.compile(client, today));
  }

  private async compile(client: pg.PoolClient, today: string): Promise<Outlook> {
    const ask = <T extends object>(text: string, ...values: unknown[]) => this.reader.rows<T>(client, { text, values });
    const overdueSafety = await ask<Outlook['overdueSafety'][number]>(OVERDUE_SAFETY, outlookLines);
    const weeks = await ask<Outlook['weeks'][number]>(WEEKS, today, outlookWeeks);
    const doorsAtRisk = await ask<Outlook['doorsAtRisk'][number]>(AT_RISK, outlookLines, riskFrom);
    const doorsOutOfService = await ask<Outlook['doorsOutOfService'][number]>(OUT_OF_SERVICE, outlookLines);
    const [counted] = await ask<TotalsRow>(TOTALS);
    const { projectedFrom, projectedTo, ...totals } = counted!;
    return { today, overdueSafety, weeks, doorsAtRisk, doorsOutOfService, totals, projectedFrom, projectedTo };
  }
}
