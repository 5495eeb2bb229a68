import { createCipheriv, createDecipheriv, hkdfSync, randomBytes } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

const SHORTEST = 32;
const SALT = 16;
const NONCE = 12;
const TAG = 16;

/** The secret under which the companies' private keys are kept is missing or unfit: nothing can be signed. */
export class KeySecretError extends Error {}

let homeOfSecret: string | undefined;

/** From now on this process keeps its secret in that data folder, unless `LINTEL_KEY_SECRET` is set. */
export function useHomeKeySecret(home: string): void {
  homeOfSecret = home;
}

/**
 * `LINTEL_KEY_SECRET`, else what a file of the data folder holds: made at random when it is first needed, readable by its owner alone.
 * @throws KeySecretError where there is neither, or it is too short to be one.
 */
export function keySecret(environment: NodeJS.ProcessEnv = process.env): string {
  const secret = environment['LINTEL_KEY_SECRET'] || (homeOfSecret === undefined ? '' : fileSecret(homeOfSecret));
  if (secret === '') throw new KeySecretError('LINTEL_KEY_SECRET is not set: certificates cannot be signed');
  if (secret.length < SHORTEST) throw new KeySecretError(`LINTEL_KEY_SECRET must have at least ${SHORTEST} characters`);
  return secret;
}

function fileSecret(home: string): string {
  const file = join(home, 'key-secret');
  if (!existsSync(file)) {
    try {
      // `wx`: of two processes that need it at once, one makes it.
      writeFileSync(file, `${randomBytes(32).toString('base64url')}\n`, { mode: 0o600, flag: 'wx' });
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
    }
  }
  return readFileSync(file, 'utf8').trim();
}

const keyOf = (secret: string, salt: Uint8Array): Buffer => Buffer.from(hkdfSync('sha256', secret, salt, 'lintel company key', 32));

/** Enciphers by AES-256-GCM: salt, nonce, tag, text. `bound` has to be the same at opening: a cipher text moved elsewhere does not open. */
export function sealSecret(plain: Buffer, bound: string): Buffer {
  const salt = randomBytes(SALT);
  const nonce = randomBytes(NONCE);
  const cipher = createCipheriv('aes-256-gcm', keyOf(keySecret(), salt), nonce).setAAD(Buffer.from(bound));
  const text = Buffer.concat([cipher.update(plain), cipher.final()]);
  return Buffer.concat([salt, nonce, cipher.getAuthTag(), text]);
}

/** @throws KeySecretError where it was sealed under another secret, or altered. */
export function openSecret(sealed: Uint8Array, bound: string): Buffer {
  const bytes = Buffer.from(sealed);
  const salt = bytes.subarray(0, SALT);
  const nonce = bytes.subarray(SALT, SALT + NONCE);
  const decipher = createDecipheriv('aes-256-gcm', keyOf(keySecret(), salt), nonce, { authTagLength: TAG }).setAAD(Buffer.from(bound));
  decipher.setAuthTag(bytes.subarray(SALT + NONCE, SALT + NONCE + TAG));
  try {
    return Buffer.concat([decipher.update(bytes.subarray(SALT + NONCE + TAG)), decipher.final()]);
  } catch {
    throw new KeySecretError('the company’s key does not open: it was kept under another LINTEL_KEY_SECRET');
  }
}
