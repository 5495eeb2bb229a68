import { randomBytes } from 'node:crypto';
import { CERTIFICATE_NUMBER_BYTES, certificateNumber } from '@lintel/contract';
import { certificateContent, civilDateAt, type CertificateContent } from '@lintel/engine';
import { newId, type CompanyContext } from '../context.js';
import { writeLedger } from '../ledger/writeLedger.js';
import { runSql, type CompanyTransaction } from '../sqlRunner.js';
import { certificateFacts } from './certificateFacts.js';
import { sealCertificate } from './certificateSeal.js';
import { signingKey } from './companyKey.js';

export interface IssuedCertificate {
  id: string;
  number: string;
}

/**
 * Issues the certificate of a completed inspection or commissioning, in the caller's own transaction: content, seal, row and ledger
 * entry, or nothing. An order has one certificate: asked again, it is the one that was issued.
 * @throws Error for an order that is not there, not completed, or of another kind; KeySecretError where nothing can be signed.
 */
export async function issueCertificate(
  transaction: CompanyTransaction, context: CompanyContext, workOrderId: string, issuedAt = new Date(),
): Promise<IssuedCertificate> {
  const { companyId } = context;
  const [known] = await runSql<IssuedCertificate>(
    transaction, 'SELECT id::text AS id, number FROM certificate WHERE company_id = $1::uuid AND work_order_id = $2::uuid', [companyId, workOrderId],
  );
  if (known !== undefined) return known;
  const { doorId, taskId, facts } = await certificateFacts(transaction, context, workOrderId);
  const key = await signingKey(transaction, context);
  const inspectedOn = civilDateAt(Date.parse(facts.order.completedAt), facts.site.timeZone);
  const number = certificateNumber(inspectedOn, randomBytes(CERTIFICATE_NUMBER_BYTES));
  const content = certificateContent({ ...facts, number, keyId: key.fingerprint, issuedAt: issuedAt.toISOString() });
  const { text, seal } = sealCertificate(content, key);
  const id = newId();
  await insert(transaction, { companyId, id, workOrderId, doorId, taskId, keyId: key.id, content, text, hash: seal.hash, signature: seal.signature });
  await writeLedger(transaction, context, {
    action: 'certificate-issued', subjectKind: 'certificate', subjectId: id,
    detail: { number, passed: content.passed, hash: seal.hash, keyId: key.fingerprint, workOrderId, doorId },
  });
  return { id, number };
}

interface NewCertificate {
  companyId: string;
  id: string;
  workOrderId: string;
  doorId: string;
  taskId: string | null;
  keyId: string;
  content: CertificateContent;
  text: string;
  hash: string;
  signature: string;
}

async function insert(transaction: CompanyTransaction, made: NewCertificate): Promise<void> {
  const { content } = made;
  await runSql(
    transaction,
    `INSERT INTO certificate (company_id, id, number, work_order_id, door_id, kind, passed, person_name, completed_at, inspected_on,
       next_due_on, issued_at, content, hash, signature, key_id, task_id)
     VALUES ($1::uuid, $2::uuid, $3, $4::uuid, $5::uuid, $6::"WorkKind", $7, $8, $9::timestamptz, $10::date, $11::date, $12::timestamptz, $13,
       decode($14, 'hex'), decode($15, 'base64'), $16::uuid, $17::uuid) RETURNING 1`,
    [made.companyId, made.id, content.number, made.workOrderId, made.doorId, content.kind, content.passed, content.person.name,
      content.completedAt, content.inspectedOn, content.nextDue?.on ?? null, content.issuedAt, made.text, made.hash, made.signature, made.keyId, made.taskId],
  );
}

/** Takes a certificate back. @returns false: it was withdrawn already; null: there is none. */
export async function withdrawCertificate(
  transaction: CompanyTransaction, context: CompanyContext, id: string, reason: string,
): Promise<boolean | null> {
  const { companyId, accountId } = context;
  const [found] = await runSql<{ number: string }>(
    transaction, 'SELECT number FROM certificate WHERE company_id = $1::uuid AND id = $2::uuid', [companyId, id],
  );
  if (found === undefined) return null;
  const added = await runSql(
    transaction,
    `INSERT INTO certificate_withdrawal (company_id, certificate_id, reason, account_id) VALUES ($1::uuid, $2::uuid, $3, $4::uuid)
     ON CONFLICT DO NOTHING RETURNING 1`,
    [companyId, id, reason, accountId],
  );
  if (added.length === 0) return false;
  await writeLedger(transaction, context, {
    action: 'certificate-withdrawn', subjectKind: 'certificate', subjectId: id, detail: { number: found.number, reason },
  });
  return true;
}
