import type { RouteAnswer } from '@lintel/contract';

const REASONS: Record<RouteAnswer['unserved'][number]['reason'], string> = {
  'no-skill': 'nobody has the skills',
  load: 'fits into no van',
  'no-hours': 'no shift has the time',
  window: 'no shift can be there within its windows',
  price: 'costs more than leaving it out',
};

/** A plan for reading: one line a stop, times in minutes from the start of the horizon. */
export function routeText(answer: RouteAnswer): string {
  const lines: string[] = [];
  for (const route of answer.routes) {
    lines.push(`${route.technician}, shift ${route.shift}`);
    for (const stop of route.stops) {
      const waiting = stop.start > stop.arrive ? `, waits ${number(stop.start - stop.arrive)}` : '';
      lines.push(`  ${number(stop.start).padStart(10)} – ${number(stop.leave)}  ${stop.id}${waiting}`);
    }
    lines.push(`  ${number(route.end).padStart(10)}  home`);
  }
  if (answer.unserved.length > 0) lines.push('not served');
  for (const { id, reason } of answer.unserved) lines.push(`  ${id}: ${REASONS[reason]}`);
  lines.push(`cost ${number(answer.cost)}, of it travel ${number(answer.travel)}`);
  const perSecond = answer.seconds > 0 ? ` (${Math.round(answer.iterations / answer.seconds)} a second)` : '';
  lines.push(`${answer.iterations} iterations in ${answer.seconds.toFixed(1)} s${perSecond}`);
  return `${lines.join('\n')}\n`;
}

function number(value: number): string {
  return String(Math.round(value * 100) / 100);
}
