import { CERTIFICATE_FORMAT } from '@lintel/engine';
import type { CertificateContent } from '@lintel/engine';
import canonicalize from 'canonicalize';
import { z } from 'zod';
import { civilDate, id, instant, line } from '../shared/fields.js';
import { flag, type ListWords } from '../shared/list.js';

export const certificateKind = z.enum(['inspection', 'commissioning']);
/** `superseded`: a newer one stands, of the same door, kind and task, or one that the door did not pass; `withdrawn`: an administrator took it back. */
export const certificateState = z.enum(['valid', 'superseded', 'withdrawn']);
export type CertificateState = z.infer<typeof certificateState>;

/** Crockford's base 32: no I, L, O and U, which are misread. */
const LETTERS = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';
/** Eighty random bits: nobody finds a number by trying. */
export const CERTIFICATE_NUMBER_BYTES = 10;
const NUMBER = /^(\d{8})-?([0-9A-Z]{4})-?([0-9A-Z]{4})-?([0-9A-Z]{4})-?([0-9A-Z]{4})$/;

/**
 * `20261125-7KQM-2XW4-RTPD-9HCF`: the day of the inspection, then sixteen letters of ten random bytes.
 * @throws RangeError for another number of bytes.
 */
export function certificateNumber(inspectedOn: string, random: Uint8Array): string {
  if (random.length !== CERTIFICATE_NUMBER_BYTES) throw new RangeError(`needs ${CERTIFICATE_NUMBER_BYTES} random bytes, not ${random.length}`);
  const bits = random.reduce((sum, byte) => sum * 256n + BigInt(byte), 0n);
  const letters = Array.from({ length: 16 }, (_, place) => LETTERS[Number((bits >> BigInt(75 - 5 * place)) & 31n)]!).join('');
  return [inspectedOn.replaceAll('-', ''), ...letters.match(/.{4}/g)!].join('-');
}

/** A number as somebody typed it, in its one form: small letters, missing hyphens, O for 0 and I or L for 1 do no harm. Null: it cannot be one. */
export function readCertificateNumber(typed: string): string | null {
  const plain = typed.trim().toUpperCase().replaceAll('O', '0').replaceAll(/[IL]/g, '1');
  const parts = NUMBER.exec(plain)?.slice(1);
  return parts === undefined || /U/.test(plain) ? null : parts.join('-');
}

/** The seal of a certificate. */
export const certificateSeal = z.strictObject({
  /** SHA-256 of the canonical content's UTF-8 bytes, small hexadecimal letters. */
  hash: z.string().regex(/^[0-9a-f]{64}$/),
  algorithm: z.literal('Ed25519'),
  /** Over the canonical content's UTF-8 bytes (RFC 8032), base64. */
  signature: z.string().regex(/^[A-Za-z0-9+/]{86}==$/),
  /** SubjectPublicKeyInfo as PEM (RFC 7468). */
  publicKey: z.string().max(500),
}).meta({ id: 'CertificateSeal' });
export type CertificateSeal = z.infer<typeof certificateSeal>;

/** A certificate as a file: its content and its seal. */
export const sealedCertificate = z.strictObject({
  content: z.looseObject({ format: z.literal(CERTIFICATE_FORMAT), number: z.string(), keyId: z.string() })
    .meta({ id: 'CertificateContent', description: 'What was inspected, how and with which result' }),
  seal: certificateSeal,
}).meta({ id: 'SealedCertificate' });
export interface SealedCertificate {
  content: CertificateContent;
  seal: CertificateSeal;
}

/**
 * The one text of a JSON value, by RFC 8785 (JSON Canonicalization Scheme): what is hashed and signed.
 * @throws for what JSON cannot say.
 */
export function canonicalText(value: unknown): string {
  const text = canonicalize(value);
  if (text === undefined) throw new TypeError('is no JSON value');
  return text;
}

/** The certificate's file, byte for byte: its canonical text and a line end. */
export const certificateFileText = (sealed: SealedCertificate): string => `${canonicalText(sealed)}\n`;

/** A line of the list of certificates. */
export const certificate = z.object({
  id,
  number: z.string(),
  kind: certificateKind,
  passed: z.boolean(),
  state: certificateState,
  doorId: id,
  doorName: z.string(),
  siteId: id,
  siteName: z.string(),
  ownerId: id,
  ownerName: z.string(),
  workOrderId: id,
  personName: z.string(),
  inspectedOn: civilDate,
  nextDueOn: civilDate.nullable(),
  issuedAt: instant,
  hash: z.string(),
  keyId: z.string().describe('Fingerprint of the signing key'),
  withdrawnAt: instant.nullable(),
  withdrawnReason: z.string().nullable(),
}).meta({ id: 'Certificate' });
export type Certificate = z.infer<typeof certificate>;

export const certificateList: ListWords = {
  filters: { id, number: z.string().max(40), doorId: id, siteId: id, ownerId: id, workOrderId: id, kind: certificateKind, state: certificateState, passed: flag },
  ranges: { inspectedOn: 'date', nextDueOn: 'date', issuedAt: 'instant' },
  sorts: ['inspectedOn', 'issuedAt', 'nextDueOn', 'number', 'doorName', 'siteName', 'ownerName', 'personName'],
  defaultSort: '-issuedAt',
  search: true,
};

/** One certificate with all that it says. */
export const wholeCertificate = certificate.extend({
  sealed: sealedCertificate,
  /** Where anybody can look it up. */
  publicAddress: z.string(),
}).meta({ id: 'WholeCertificate' });
export type WholeCertificate = Omit<z.infer<typeof wholeCertificate>, 'sealed'> & { sealed: SealedCertificate };

/** A completed inspection or commissioning without a certificate: nothing could be signed when it was completed. */
export const uncertifiedOrder = z.object({
  workOrderId: id, workOrderNumber: z.int(), doorName: z.string(), siteName: z.string(), completedAt: instant,
}).meta({ id: 'UncertifiedOrder' });
export type UncertifiedOrder = z.infer<typeof uncertifiedOrder>;
export const uncertifiedOrders = z.object({ items: z.array(uncertifiedOrder) }).meta({ id: 'UncertifiedOrders' });
export const certificatesIssued = z.object({ items: z.array(uncertifiedOrder.extend({ id, number: z.string() })) }).meta({ id: 'CertificatesIssued' });
export type CertificatesIssued = z.infer<typeof certificatesIssued>;

export const certificateWithdraw = z.strictObject({ reason: line.min(1) }).meta({ id: 'CertificateWithdraw' });
export type CertificateWithdraw = z.infer<typeof certificateWithdraw>;

/** Public half of a key that the company signs, or has signed, certificates with. */
export const companyKey = z.object({
  id,
  fingerprint: z.string().describe('SHA-256 of the public key (SPKI, DER), hexadecimal'),
  publicKey: z.string().describe('PEM'),
  createdAt: instant,
  /** Null: the one that signs now. */
  retiredAt: instant.nullable(),
}).meta({ id: 'CompanyKey' });
export type CompanyKey = z.infer<typeof companyKey>;

export const companyKeyRotate = z.strictObject({ reason: line.min(1) }).meta({ id: 'CompanyKeyRotate' });
export type CompanyKeyRotate = z.infer<typeof companyKeyRotate>;

export const companyKeyList: ListWords = {
  filters: { id, fingerprint: z.string().max(64) }, ranges: {}, sorts: ['createdAt'], defaultSort: '-createdAt', search: false,
};

/** What anybody is told who has a certificate's number: the state, and what the paper says. */
export const publicCertificate = z.object({
  number: z.string(),
  state: z.enum(['valid', 'superseded', 'withdrawn', 'unknown']),
  withdrawnOn: instant.nullable(),
  sealed: sealedCertificate.nullable(),
}).meta({ id: 'PublicCertificate' });
export type PublicCertificate = Omit<z.infer<typeof publicCertificate>, 'sealed'> & { sealed: SealedCertificate | null };
