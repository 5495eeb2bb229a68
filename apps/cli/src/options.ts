import { InputError } from './inputError.js';

/** A whole number of at least `least` from an option. @throws InputError naming the option. */
export function wholeOption(option: string, given: string, least: number, most = Number.MAX_SAFE_INTEGER): number {
  const value = /^\d+$/.test(given.trim()) ? Number(given) : NaN;
  if (!(Number.isSafeInteger(value) && value >= least && value <= most)) {
    const range = most === Number.MAX_SAFE_INTEGER ? `of at least ${least}` : `from ${least} to ${most}`;
    throw new InputError(`${option}: must be a whole number ${range}, is '${given}'`);
  }
  return value;
}

/** An IANA time zone from an option. @throws InputError naming the option. */
export function zoneOption(option: string, given: string): string {
  try {
    // An offset such as +01:00 is accepted by the platform but knows no summer time: only names will do.
    if (/^[A-Za-z]/.test(given) && new Intl.DateTimeFormat('en', { timeZone: given })) return given;
  } catch {
    // Told below.
  }
  throw new InputError(`${option}: must be an IANA time zone such as Europe/Oslo, is '${given}'`);
}

/** The sentence for a file that cannot be read. */
export function unreadable(file: string, error: unknown): InputError {
  const code = (error as NodeJS.ErrnoException).code;
  const why = code === 'ENOENT' ? 'there is no such file' : code === 'EISDIR' ? 'it is a folder' : (code ?? String(error));
  return new InputError(`${file}: cannot be read (${why})`);
}
