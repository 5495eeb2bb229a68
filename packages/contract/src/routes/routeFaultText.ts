import type { RouteFault } from '@lintel/engine';

/** What is wrong with a field of a routing problem, to be read after the field's name. */
export function routeFaultText({ code, facts }: RouteFault): string {
  switch (code) {
    case 'not-square':
      return 'rows' in facts
        ? `has ${facts.rows} rows, but there are ${facts.expected} places`
        : `has ${facts.columns} columns, but there are ${facts.expected} places`;
    case 'not-finite':
      return `must be a finite number, is ${facts.value}`;
    case 'negative':
      return `must not be negative, is ${facts.value}`;
    case 'no-such-place':
      return `names place ${facts.place}, but travelMinutes has ${facts.places} places, counted from 0`;
    case 'from-after-to':
      return `must not be after 'to': ${facts.from} > ${facts.to}`;
    case 'duplicate-id':
      return `'${facts.id}' is there twice`;
    case 'no-such-technician':
      return `there is no technician '${facts.technician}'`;
    case 'no-such-shift':
      return `there is no shift ${facts.shift}${'shifts' in facts ? ` among ${facts.shifts}, counted from 0` : ''}`;
    case 'no-such-stop':
      return `there is no stop '${facts.id}'`;
    case 'length-differs':
      return `has ${facts.length} numbers, the other loads and capacities have ${facts.expected}`;
    case 'too-large':
      return `${facts.stops} stops on ${facts.routes} shifts are more than one problem can hold`;
    case 'fixed-cannot-be-kept':
      return `stop '${facts.id}' does not fit where it is fixed`;
  }
}
