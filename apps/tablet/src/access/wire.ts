import type { CommandAnswers, DeviceState, Problem, SignedIn } from '@lintel/contract';
import { type Wire, WireError } from '../keep/sync.js';

const root = '/api/v1';

/** Days ahead whose visits are on the device. */
const daysAhead = 7;

async function ask<T>(path: string, init: RequestInit = {}): Promise<T> {
  const headers = new Headers(init.headers);
  headers.set('accept', 'application/json');
  let response: Response;
  try {
    response = await fetch(root + path, { credentials: 'same-origin', ...init, headers });
  } catch {
    throw new WireError(0, 'The server cannot be reached.');
  }
  const text = await response.text().catch(() => '');
  const parsed = text === '' ? null : (parse(text) as unknown);
  if (!response.ok) throw new WireError(response.status, saidBy(parsed as Problem | null) ?? `The server answered ${response.status}.`);
  // A captive portal, or a proxy, answers 200 with a page of its own: that is no answer of the server's.
  if (text !== '' && parsed === undefined) throw new WireError(0, 'Something else than the server answered.');
  return parsed as T;
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

function saidBy(problem: Problem | null | undefined): string | undefined {
  if (!problem) return undefined;
  const fields = (problem.errors ?? []).map(({ field, message }) => `${field} ${message}`).join('; ');
  return [problem.detail || problem.title, fields].filter(Boolean).join(' ');
}

const asJson = (body: unknown): RequestInit => ({
  method: 'POST',
  headers: { 'content-type': 'application/json' },
  body: JSON.stringify(body),
});

export const wire: Wire = {
  async uploadImage({ id, orderId, stepId, kind, takenAt, mediaType, blob }) {
    const about = new URLSearchParams({ id, orderId, kind, takenAt, ...(stepId !== null && { stepId }) });
    await ask(`/work-images?${about.toString()}`, { method: 'POST', headers: { 'content-type': mediaType }, body: blob });
  },
  sendCommands: (batch) => ask<CommandAnswers>('/device/commands', asJson(batch)),
  readState: (since) => {
    const words = new URLSearchParams({ days: String(daysAhead), ...(since !== undefined && { since }) });
    return ask<DeviceState>(`/device/state?${words.toString()}`);
  },
};

export async function signIn(email: string, password: string): Promise<SignedIn['account']> {
  return (await ask<SignedIn>('/session', asJson({ email, password }))).account;
}

export async function signOut(): Promise<void> {
  await ask('/session', { method: 'DELETE' });
}
