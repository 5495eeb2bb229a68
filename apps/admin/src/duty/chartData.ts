import type { DoorDuty } from '@lintel/contract';

export interface ChartPoint {
  at: number;
  cycles?: number;
  middle?: number;
  fan?: [number, number];
}

export interface ChartMark {
  at: number;
  cycles: number;
  verdict: string;
  value: number | null;
}

const dayMs = 86_400_000;
const mostPoints = 700;

/** Every so many points, the first and last kept: more than the screen has pixels is of no use to anybody. */
function thinned<T>(points: readonly T[]): T[] {
  const step = Math.ceil(points.length / mostPoints);
  return step <= 1 ? [...points] : points.filter((_, index) => index % step === 0 || index === points.length - 1);
}

/** History and forecast on one time line; the fan starts from the model's own present. */
export function chartPoints({ history, forecast, model }: DoorDuty): ChartPoint[] {
  const past: ChartPoint[] = thinned(history).map(({ at, cycles }) => ({ at: Date.parse(at), cycles }));
  if (!model) return past;
  const now = model.lifetimeCycles;
  const start: ChartPoint = { at: model.asOf, middle: now, fan: [now, now] };
  const ahead = forecast.filter(({ daysAhead }) => daysAhead > 0);
  return [...past, start, ...ahead.map(({ daysAhead, p10, p50, p90 }) => ({ at: model.asOf + daysAhead * dayMs, middle: p50, fan: [p10, p90] as [number, number] }))];
}

/** Lifetime cycles at an instant, on the straight line between the two readings around it. */
export function cyclesAt(history: DoorDuty['history'], at: number): number {
  let before: { at: number; cycles: number } | null = null;
  for (const point of history) {
    const here = { at: Date.parse(point.at), cycles: point.cycles };
    if (here.at >= at) {
      if (before === null || here.at === before.at) return here.cycles;
      return before.cycles + ((here.cycles - before.cycles) * (at - before.at)) / (here.at - before.at);
    }
    before = here;
  }
  return before?.cycles ?? 0;
}

/** Marks on the line: rollovers and new counts, and readings that were set aside, each at its own time. */
export function chartMarks(duty: DoorDuty, turns: readonly { at: string; verdict: string }[]): ChartMark[] {
  const aside = duty.setAside.map(({ at, value, verdict }) => ({ at: Date.parse(at), value, verdict: verdict as string }));
  const turned = turns.map(({ at, verdict }) => ({ at: Date.parse(at), value: null, verdict }));
  return [...aside, ...turned].map((mark) => ({ ...mark, cycles: cyclesAt(duty.history, mark.at) }));
}

/** First days of months, evenly spaced, at most `most` of them: where the time line is labelled. */
export function monthTicks(from: number, to: number, most: number): number[] {
  const begin = new Date(from);
  const end = new Date(to);
  const months = (end.getUTCFullYear() - begin.getUTCFullYear()) * 12 + end.getUTCMonth() - begin.getUTCMonth();
  const step = Math.max(1, Math.ceil(months / most));
  const ticks = Array.from({ length: Math.floor(months / step) + 1 }, (_, index) =>
    Date.UTC(begin.getUTCFullYear(), begin.getUTCMonth() + 1 + index * step, 1),
  );
  return ticks.filter((tick) => tick >= from && tick <= to);
}
