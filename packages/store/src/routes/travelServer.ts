import type { Coordinates } from '@lintel/engine';
import { z } from 'zod';

/** Coordinates of one request: half of them start, half of them end. Public servers refuse more than a hundred. */
const BLOCK = 50;
const TIMEOUT_MS = 10_000;
const DAYS_OF_MINUTES = 100_000;

const cell = z.number().min(0).nullable();
const tableAnswer = z.object({ code: z.literal('Ok'), durations: z.array(z.array(cell)), distances: z.array(z.array(cell)) });

export interface ServerLeg {
  from: number;
  to: number;
  minutes: number;
  km: number;
}

/**
 * Travel between places as a routing server with the common table service answers it (`/table/v1/driving/…`), in blocks.
 * Places that no road joins are `100,000` minutes apart.
 * @throws Error if the server does not answer in time or not as it should.
 */
export async function askTravelServer(url: string, places: readonly Coordinates[], timeoutMs = TIMEOUT_MS): Promise<ServerLeg[]> {
  const legs: ServerLeg[] = [];
  for (let row = 0; row < places.length; row += BLOCK) {
    for (let column = 0; column < places.length; column += BLOCK) {
      legs.push(...(await askBlock(url, places, { row, column }, timeoutMs)));
    }
  }
  return legs;
}

async function askBlock(url: string, places: readonly Coordinates[], at: { row: number; column: number }, timeoutMs: number): Promise<ServerLeg[]> {
  const sources = places.slice(at.row, at.row + BLOCK);
  const ends = places.slice(at.column, at.column + BLOCK);
  const points = [...sources, ...ends].map(({ longitude, latitude }) => `${longitude.toFixed(5)},${latitude.toFixed(5)}`).join(';');
  const numbers = (from: number, count: number) => Array.from({ length: count }, (_, index) => from + index).join(';');
  const query = `annotations=duration,distance&sources=${numbers(0, sources.length)}&destinations=${numbers(sources.length, ends.length)}`;
  const response = await fetch(`${url.replace(/\/+$/, '')}/table/v1/driving/${points}?${query}`, { signal: AbortSignal.timeout(timeoutMs) });
  if (!response.ok) throw new Error(`the travel server answered ${response.status}`);
  const { durations, distances } = tableAnswer.parse(await response.json());
  if (durations.length !== sources.length || durations.some((row) => row.length !== ends.length)) throw new Error('the travel server answered another table');
  return durations.flatMap((row, from) =>
    row.map((seconds, to) => ({
      from: at.row + from,
      to: at.column + to,
      minutes: seconds === null ? DAYS_OF_MINUTES : seconds / 60,
      km: (distances[from]?.[to] ?? 0) / 1000,
    })),
  );
}
