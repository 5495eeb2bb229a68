import type { WholeWorkOrder } from '@lintel/contract';
import { count, formatDate, formatInstant, OutcomeMark, SafetyMark, workKindWords, WorkStateMark } from '@lintel/ui';
import { useCallback } from 'react';
import { Link } from 'wouter';
import { type Database } from '../keep/database.js';
import { useDevice, useKept, useSync } from '../keep/device.js';
import { readVisits, type SiteVisits } from '../keep/read.js';
import { Empty } from '../shell/faces.js';
import { Layout } from '../shell/Layout.js';

/** Today's visits, site by site, then the days to come: all of it on the device. */
export function VisitsPage() {
  const load = useCallback((database: Database) => readVisits(database, Date.now()), []);
  const { kept, ready } = useKept(load);
  const { lastSyncAt } = useSync();
  const { account } = useDevice();
  return (
    <Layout title="Visits" over={account.name}>
      <h2 className="day">Today</h2>
      {ready && kept.today.length === 0 ? (
        <Empty>{lastSyncAt === null ? 'Nothing has been received yet. Connect once, and the visits of the next days come onto this device.' : 'No visit today.'}</Empty>
      ) : null}
      {kept?.today.map((site) => <Visit key={site.siteId} site={site} />)}
      {kept?.days.map(({ date, sites }) => (
        <section key={date}>
          <h2 className="day">{new Date(`${date}T00:00:00Z`).toLocaleDateString('en-GB', { weekday: 'long', timeZone: 'UTC' })}, {formatDate(date)}</h2>
          {sites.map((site) => <Visit key={site.siteId} site={site} />)}
        </section>
      ))}
      {kept && kept.undated.length > 0 ? <section><h2 className="day">Without a day</h2>{kept.undated.map((site) => <Visit key={site.siteId} site={site} />)}</section> : null}
      {kept && kept.done.length > 0 ? <section><h2 className="day">Done</h2>{kept.done.map((site) => <Visit key={site.siteId} site={site} />)}</section> : null}
    </Layout>
  );
}

function Visit({ site }: { site: SiteVisits }) {
  const minutes = site.orders.reduce((sum, order) => sum + order.minutes, 0);
  return (
    <article className="card visit">
      <header>
        <h3>{site.siteName}</h3>
        <p>{[site.address, count(site.orders.length, 'order'), `${minutes} min`].filter(Boolean).join(' · ')}</p>
      </header>
      <ul className="rows">
        {site.orders.map((order) => <li key={order.id}><OrderRow order={order} /></li>)}
      </ul>
    </article>
  );
}

/** One order as a line that opens it. */
export function OrderRow({ order }: { order: WholeWorkOrder }) {
  const safety = order.kind === 'inspection' || order.kind === 'commissioning';
  return (
    <Link href={`/order/${order.id}`} className="row">
      <span className="row-main">
        <strong>{order.doorName}</strong>
        <span>{order.title}</span>
        <span className="quiet">
          {[`No. ${order.number}`, `${order.minutes} min`, order.plannedStart ? formatInstant(order.plannedStart, order.timeZone) : null,
            order.technicianId === null ? 'nobody’s yet' : null].filter(Boolean).join(' · ')}
        </span>
      </span>
      <span className="row-marks">
        {safety ? <SafetyMark word={workKindWords[order.kind]} /> : <span>{workKindWords[order.kind]}</span>}
        <WorkStateMark state={order.state} />
        {order.state === 'started' ? <span className="quiet">{order.answers.length === 0 ? '' : `${answered(order)} of ${order.steps.length} steps`}</span> : null}
        {order.passed === null ? null : <OutcomeMark outcome={order.passed ? 'passed' : 'failed'} word={order.passed ? 'passed' : 'not passed'} />}
        {order.conflicts.length > 0 ? <strong className="signal">{count(order.conflicts.length, 'contradiction')}</strong> : null}
      </span>
    </Link>
  );
}

/** Steps that hold an answer which counts. */
export function answered(order: WholeWorkOrder): number {
  const done = new Set(order.answers.filter(({ counts }) => counts).map(({ stepId }) => stepId));
  return order.steps.filter(({ id }) => done.has(id)).length;
}
