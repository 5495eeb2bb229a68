/** What one check found. */
export interface Finding {
  what: string;
  ok: boolean;
  detail: string;
}

/** Message of whatever was thrown, in one line; without a password that a connection string may hold. */
export function reasonOf(error: unknown): string {
  const told = error instanceof AggregateError && error.errors.length > 0 ? (error.errors[0] as unknown) : error;
  return ((told as Error).message || String(told)).split('\n')[0]!.replaceAll(/(\/\/[^:/@\s]*):[^@\s]*@/g, '$1:***@');
}

/** An address without its password. */
export function withoutPassword(url: string): string {
  const shown = new URL(url);
  if (shown.password !== '') shown.password = '***';
  return shown.href;
}
