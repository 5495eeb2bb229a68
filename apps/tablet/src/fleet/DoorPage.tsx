import type { DeviceDoor } from '@lintel/contract';
import { ConditionMark, DoorElevation, formatDate, formatInstant, formatLength, formatWhole, SeverityMark, StateMark } from '@lintel/ui';
import { useCallback } from 'react';
import { Link } from 'wouter';
import type { Database } from '../keep/database.js';
import { useKept } from '../keep/device.js';
import { type DoorView, readDoor } from '../keep/read.js';
import { Empty } from '../shell/faces.js';
import { Layout } from '../shell/Layout.js';
import { chosenUnits, onPaper } from '../shell/theme.js';
import { OrderRow } from '../work/VisitsPage.js';

/** A door as it hangs: what is on it, what happened to it, what is to be done. All of it from the device. */
export function DoorPage({ id }: { id: string }) {
  const load = useCallback((database: Database) => readDoor(database, id), [id]);
  const { kept, ready } = useKept(load);
  if (!ready) return null;
  if (!kept) return <Layout title="Door" back="/find"><Empty>This door is not on this device. The doors of your visits of the next days are; receive again with a signal, or ask the planner for an order at this door.</Empty></Layout>;
  return <Door view={kept} />;
}

function Door({ view }: { view: DoorView }) {
  const { whole, orders, manuals, state } = view;
  const { door, site, doorType } = whole;
  const units = chosenUnits() ?? site.units;
  return (
    <Layout over={site.name} title={door.name} back="/">
      <section className="card facts">
        <p className="marks"><StateMark state={state} /><ConditionMark condition={door.condition} /></p>
        {door.stateReason && door.state !== 'in-service' ? <p className="warning">{door.stateReason}</p> : null}
        <dl>
          <dt>Type</dt><dd>{doorType.name}, {doorType.supplyVolts} V{doorType.heated ? ', heated frame' : ''}</dd>
          <dt>Size</dt><dd>{formatLength(units, door.widthMm)} × {formatLength(units, door.heightMm)}</dd>
          <dt>Serial</dt><dd>{door.serial ?? 'not known'}</dd>
          <dt>Between</dt><dd>{[door.fromZoneName, door.toZoneName].filter(Boolean).join(' and ') || 'not said'}</dd>
          {whole.counters.filter(({ fitted }) => fitted).map(({ id, lastValue, lastReadingAt }) => (
            <div key={id} className="pair"><dt>Counter</dt><dd>{lastValue === null ? 'never read' : `${formatWhole(lastValue)}${lastReadingAt ? `, ${formatInstant(lastReadingAt, site.timeZone)}` : ''}`}</dd></div>
          ))}
        </dl>
        {door.notes ? <p className="instructions">{door.notes}</p> : null}
      </section>
      {orders.length > 0 ? <section className="card"><h2>Orders at this door</h2><ul className="rows">{orders.map((order) => <li key={order.id}><OrderRow order={order} /></li>)}</ul></section> : null}
      <section className="card paper" style={onPaper as React.CSSProperties}>
        <DoorElevation name={door.name} kind={door.kind} heated={door.heated} widthMm={door.widthMm} heightMm={door.heightMm} units={units} state={state} positions={positionsOf(whole)} maxHeight={460} />
      </section>
      <Parts whole={whole} />
      {whole.findings.length > 0 ? <section className="card"><h2>Open findings</h2><ul className="rows">{whole.findings.map(({ id, text, severity, foundAt }) => <li key={id} className="row"><span className="row-main"><span>{text}</span><span className="quiet">{formatInstant(foundAt, site.timeZone)}</span></span><SeverityMark severity={severity} /></li>)}</ul></section> : null}
      {manuals.length > 0 ? <section className="card"><h2>Manuals</h2><ul className="rows">{manuals.map(({ id, title }) => <li key={id}><Link href={`/manual/${id}`} className="row"><strong>{title}</strong></Link></li>)}</ul></section> : null}
      <section className="card"><h2>History</h2>
        {whole.history.length === 0 ? <Empty>Nothing has been recorded yet.</Empty> : <ul className="rows">{whole.history.map(({ at, text, kind }, index) => <li key={`${at}-${index}`} className="row"><span className="row-main"><span>{text}</span><span className="quiet">{eventWords[kind]}</span></span><span className="quiet">{formatInstant(at, site.timeZone)}</span></li>)}</ul>}
      </section>
    </Layout>
  );
}

const eventWords: Record<DeviceDoor['history'][number]['kind'], string> = {
  reading: 'counter read', completion: 'task completed', 'part-fitted': 'part fitted', 'part-removed': 'part removed', fault: 'fault', finding: 'finding',
};

function positionsOf({ positions, parts }: DeviceDoor) {
  return positions.filter(({ archived }) => !archived).map(({ id, name, drawnX, drawnY, safetyDevice }) => ({
    id, name, drawnX, drawnY, safetyDevice, condition: parts.find((part) => part.positionId === id && part.fitted)?.condition ?? 'unknown',
  }));
}

function Parts({ whole: { positions, parts } }: { whole: DeviceDoor }) {
  return (
    <section className="card">
      <h2>Parts</h2>
      <ul className="rows">
        {positions.filter(({ archived }) => !archived).map(({ id, name }) => {
          const part = parts.find(({ positionId, fitted }) => positionId === id && fitted);
          return (
            <li key={id} className="row">
              <span className="row-main"><strong>{name}</strong><span className="quiet">{part ? `${part.serial ?? 'serial not known'}, since ${formatDate(part.fittedAt)}` : 'nothing fitted'}</span></span>
              <ConditionMark condition={part?.condition} />
            </li>
          );
        })}
      </ul>
    </section>
  );
}
