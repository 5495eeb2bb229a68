import type { Problem } from '@lintel/contract';
import { HttpError } from 'react-admin';

const root = '/api/v1';

/** A refusal of the server, or of the network (status 0), with what it says. */
export interface Refusal {
  status: number;
  detail: string;
  problem: Problem | null;
}

export interface Answer<T> {
  data: T;
  etag: string | null;
}

export interface Ask {
  method?: string;
  body?: unknown;
  ifMatch?: string;
  signal?: AbortSignal;
}

/** Asks the API; a refusal is thrown as an `HttpError` whose body holds the problem and, by field, its messages. */
export async function ask<T>(path: string, { method = 'GET', body, ifMatch, signal }: Ask = {}): Promise<Answer<T>> {
  const headers: Record<string, string> = { accept: 'application/json' };
  if (body !== undefined) headers['content-type'] = 'application/json';
  if (ifMatch !== undefined) headers['if-match'] = ifMatch;
  const init: RequestInit = { method, headers, credentials: 'same-origin' };
  if (body !== undefined) init.body = JSON.stringify(body);
  if (signal) init.signal = signal;
  let response: Response;
  try {
    response = await fetch(root + path, init);
  } catch (error) {
    if (signal?.aborted) throw error;
    throw new HttpError('The server cannot be reached. Check the connection and try again.', 0, { problem: null });
  }
  const text = await response.text();
  const parsed = parse(text);
  if (!response.ok) throw refused(response.status, parsed);
  return { data: parsed as T, etag: response.headers.get('etag') };
}

function parse(text: string): unknown {
  if (text === '') return null;
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function refused(status: number, parsed: unknown): HttpError {
  const problem = isProblem(parsed) ? parsed : null;
  const message = problem ? problem.detail || problem.title : `The server answered ${status} without saying why.`;
  const errors = problem?.errors?.length
    ? Object.fromEntries(problem.errors.map(({ field, message: said }) => [field, said]))
    : undefined;
  return new HttpError(message, status, { problem, ...(errors ? { errors } : {}) });
}

function isProblem(value: unknown): value is Problem {
  return typeof value === 'object' && value !== null && 'title' in value && 'status' in value;
}

/** What an error of any kind says, for people. */
export function refusalOf(error: unknown): Refusal {
  if (error instanceof HttpError) {
    return { status: error.status, detail: error.message, problem: (error.body?.problem as Problem | null) ?? null };
  }
  return { status: -1, detail: error instanceof Error ? error.message : String(error), problem: null };
}

/** `?a=1&b=x,y` from what is set; arrays are joined by commas. */
export function query(words: Record<string, unknown>): string {
  const parameters = new URLSearchParams();
  for (const [key, value] of Object.entries(words)) {
    if (value === undefined || value === null || value === '') continue;
    if (Array.isArray(value) && value.length === 0) continue;
    parameters.set(key, Array.isArray(value) ? value.join(',') : String(value));
  }
  const text = parameters.toString();
  return text === '' ? '' : `?${text}`;
}
