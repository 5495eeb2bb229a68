import { createHash, createPublicKey, sign, verify, type KeyObject } from 'node:crypto';
import { canonicalText, certificateFileText, sealedCertificate, type SealedCertificate } from '@lintel/contract';
import type { CertificateContent } from '@lintel/engine';
import { keyFingerprint, type SigningKey } from './companyKey.js';

/** A sealed content, and the exact text that was hashed and signed. */
export interface Sealing extends SealedCertificate {
  text: string;
}

/**
 * Seals a content: SHA-256 and Ed25519 (RFC 8032) over the UTF-8 bytes of its canonical text (RFC 8785). The content itself names the
 * form and the key, so that neither can be swapped.
 */
export function sealCertificate(content: CertificateContent, key: SigningKey): Sealing {
  if (content.keyId !== key.fingerprint) throw new Error('the content names another key than the one that signs');
  const text = canonicalText(content);
  const bytes = Buffer.from(text, 'utf8');
  return {
    text,
    content,
    seal: {
      hash: createHash('sha256').update(bytes).digest('hex'),
      algorithm: 'Ed25519',
      signature: sign(null, bytes, key.privateKey).toString('base64'),
      publicKey: key.publicKey,
    },
  };
}

/**
 * What does not fit of a certificate.
 * - `not-json`, `not-a-certificate`: the file holds something else, or a form that this program does not know
 * - `not-as-issued`: its bytes are not those of its own values: written anew, or with a name twice
 * - `hash-differs`: the content is not the one that the hash was made of
 * - `key-unusable`, `key-differs`: the enclosed key is no Ed25519 key, or not the one that the content names
 * - `signature-wrong`: content and signature do not belong together
 * - `other-key`: it was signed by another key than the one given
 */
export type CertificateFault =
  | 'not-json' | 'not-a-certificate' | 'not-as-issued' | 'hash-differs' | 'key-unusable' | 'key-differs' | 'signature-wrong' | 'other-key';

export interface CertificateCheckResult {
  /** Empty: it is as it was issued, by the holder of the key of that fingerprint. */
  faults: CertificateFault[];
  /** Of the enclosed key. */
  fingerprint: string | null;
  certificate: SealedCertificate | null;
}

/** Checks a certificate's file by itself, without any database. @param given the key that it ought to be signed by. */
export function checkCertificate(file: string, given: KeyObject | null = null): CertificateCheckResult {
  const value = parsed(file);
  if (value === undefined) return { faults: ['not-json'], fingerprint: null, certificate: null };
  const read = sealedCertificate.safeParse(value);
  if (!read.success) return { faults: ['not-a-certificate'], fingerprint: null, certificate: null };
  // Of the value itself and not of what the schema made of it: nothing may be dropped on the way to the hash.
  const certificate = value as SealedCertificate;
  const { content, seal } = certificate;
  const whole = textOf(certificate);
  if (whole === null) return { faults: ['not-a-certificate'], fingerprint: null, certificate: null };
  const bytes = Buffer.from(canonicalText(content), 'utf8');
  const faults: CertificateFault[] = [];
  // Line ends may be lost on the way; nothing else may.
  if (file.trimEnd() !== whole.trimEnd()) faults.push('not-as-issued');
  if (createHash('sha256').update(bytes).digest('hex') !== seal.hash) faults.push('hash-differs');
  const key = publicKeyOf(seal.publicKey);
  if (key === null || key.export({ type: 'spki', format: 'pem' }) !== seal.publicKey) return { faults: [...faults, 'key-unusable'], fingerprint: null, certificate };
  const fingerprint = keyFingerprint(key);
  if (fingerprint !== content.keyId) faults.push('key-differs');
  const signature = Buffer.from(seal.signature, 'base64');
  // The last letter of base64 has bits that mean nothing: they, too, are as they were.
  if (signature.toString('base64') !== seal.signature || !verify(null, bytes, key, signature)) faults.push('signature-wrong');
  if (given !== null && keyFingerprint(given) !== fingerprint) faults.push('other-key');
  return { faults, fingerprint, certificate };
}

/** An Ed25519 public key from PEM; null: it is none. */
export function publicKeyOf(pem: string): KeyObject | null {
  try {
    // A private key's PEM would be taken as well: its public half is in it.
    if (!/^-----BEGIN PUBLIC KEY-----\s/.test(pem)) return null;
    const key = createPublicKey(pem);
    if (key.asymmetricKeyType !== 'ed25519') return null;
    return key;
  } catch {
    return null;
  }
}

/** Null: values that no certificate can hold, such as half a character. */
function textOf(certificate: SealedCertificate): string | null {
  try {
    return certificateFileText(certificate);
  } catch {
    return null;
  }
}

function parsed(file: string): unknown {
  try {
    return JSON.parse(file);
  } catch {
    return undefined;
  }
}
