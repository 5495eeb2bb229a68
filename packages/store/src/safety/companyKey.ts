import { createHash, createPrivateKey, createPublicKey, generateKeyPairSync, type KeyObject } from 'node:crypto';
import { newId, type CompanyContext } from '../context.js';
import { writeLedger } from '../ledger/writeLedger.js';
import { runSql, type CompanyTransaction } from '../sqlRunner.js';
import { openSecret, sealSecret } from './keySecret.js';

/** The key that a company signs with now. */
export interface SigningKey {
  id: string;
  fingerprint: string;
  publicKey: string;
  privateKey: KeyObject;
}

/** SHA-256 of a public key as SubjectPublicKeyInfo (DER), hexadecimal: by it people compare keys. */
export function keyFingerprint(publicKey: KeyObject): string {
  return createHash('sha256').update(publicKey.export({ type: 'spki', format: 'der' })).digest('hex');
}

/** The company's signing key, made when there is none. */
export async function signingKey(transaction: CompanyTransaction, context: CompanyContext): Promise<SigningKey> {
  const found = await keyInUse(transaction, context);
  if (found !== null) return found;
  await makeKey(transaction, context, { action: 'certificate-key-made' });
  return (await keyInUse(transaction, context))!;
}

/**
 * A new key signs from now on; those of before stay, for certificates that they signed have to be verified. Nothing that is signed
 * changes.
 */
export async function rotateCompanyKey(transaction: CompanyTransaction, context: CompanyContext, reason: string): Promise<string> {
  const retired = await runSql<{ fingerprint: string }>(
    transaction, 'UPDATE company_key SET retired_at = now() WHERE company_id = $1::uuid AND retired_at IS NULL RETURNING fingerprint', [context.companyId],
  );
  return makeKey(transaction, context, { action: 'certificate-key-rotated', retired: retired[0]?.fingerprint ?? null, reason });
}

async function makeKey(
  transaction: CompanyTransaction, context: CompanyContext, { action, ...detail }: { action: string; retired?: string | null; reason?: string },
): Promise<string> {
  const { companyId } = context;
  const id = newId();
  const pair = generateKeyPairSync('ed25519');
  const fingerprint = keyFingerprint(pair.publicKey);
  const added = await runSql<{ id: string }>(
    transaction,
    // Two first certificates at once: the second waits here, and then goes by the first one's key.
    `INSERT INTO company_key (company_id, id, fingerprint, public_key) VALUES ($1::uuid, $2::uuid, $3, $4)
     ON CONFLICT (company_id) WHERE retired_at IS NULL DO NOTHING RETURNING id::text AS id`,
    [companyId, id, fingerprint, pair.publicKey.export({ type: 'spki', format: 'pem' })],
  );
  if (added.length === 0) return id;
  const sealed = sealSecret(pair.privateKey.export({ type: 'pkcs8', format: 'der' }), boundTo(companyId, id));
  await runSql(
    transaction, `INSERT INTO company_key_secret (company_id, key_id, sealed) VALUES ($1::uuid, $2::uuid, decode($3, 'hex')) RETURNING 1`,
    [companyId, id, sealed.toString('hex')],
  );
  await writeLedger(transaction, context, { action, subjectKind: 'company-key', subjectId: id, detail: { fingerprint, ...detail } });
  return id;
}

async function keyInUse(transaction: CompanyTransaction, { companyId }: CompanyContext): Promise<SigningKey | null> {
  const [row] = await runSql<{ id: string; fingerprint: string; publicKey: string; sealed: string }>(
    transaction,
    `SELECT k.id::text AS id, k.fingerprint, k.public_key AS "publicKey", encode(s.sealed, 'hex') AS sealed
     FROM company_key k JOIN company_key_secret s ON s.company_id = k.company_id AND s.key_id = k.id
     WHERE k.company_id = $1::uuid AND k.retired_at IS NULL`,
    [companyId],
  );
  if (row === undefined) return null;
  const { sealed, ...key } = row;
  const der = openSecret(Buffer.from(sealed, 'hex'), boundTo(companyId, row.id));
  const privateKey = createPrivateKey({ key: der, type: 'pkcs8', format: 'der' });
  // A row that was put in the place of another would sign under a stranger's name.
  if (keyFingerprint(createPublicKey(privateKey)) !== key.fingerprint) throw new Error(`the private half of key ${row.id} is another key's`);
  return { ...key, privateKey };
}

const boundTo = (companyId: string, keyId: string): string => `${companyId} ${keyId}`;
