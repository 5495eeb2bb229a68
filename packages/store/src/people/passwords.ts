import { hash, verify } from '@node-rs/argon2';

/**
 * Argon2id with the library's defaults: 19 MiB, 2 passes, 1 lane, which are the least that OWASP's cheat sheet on password
 * storage asks for (from memory). Runs off the event loop.
 */
export const hashPassword = (password: string): Promise<string> => hash(password);

/** Whether the password belongs to the hash; a hash that cannot be read belongs to none. */
export const verifyPassword = (passwordHash: string, password: string): Promise<boolean> =>
  verify(passwordHash, password).catch(() => false);
