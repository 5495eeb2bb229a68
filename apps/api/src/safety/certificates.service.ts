import { certificateFileText, type Certificate, type CertificatesIssued, type SealedCertificate, type UncertifiedOrder, type WholeCertificate } from '@lintel/contract';
import type { CertificateContent } from '@lintel/engine';
import { issueMissing, KeySecretError, runSql, uncertified, withdrawCertificate, type Store } from '@lintel/store';
import { Inject, Injectable } from '@nestjs/common';
import type { FastifyRequest } from 'fastify';
import type { Caller } from '../platform/access.js';
import { API_OPTIONS, STORE, type ApiOptions } from '../platform/options.js';
import { notFound, Refusal } from '../platform/refusal.js';
import { Reader } from '../platform/resource/reader.js';
import { Writer } from '../platform/resource/writer.js';
import { certificatePaper } from './certificatePaper.js';
import { certificates } from './certificates.js';
import { publicAddressOf } from './publicCertificates.js';

/** Most certificates of one bundle. */
const MOST_IN_BUNDLE = 2000;

interface SealRow {
  content: string;
  hash: string;
  signature: string;
  publicKey: string;
}

const SEALS = `
  SELECT c.content, encode(c.hash, 'hex') AS hash, translate(encode(c.signature, 'base64'), E'\\n', '') AS signature, k.public_key AS "publicKey"
  FROM certificate c JOIN company_key k ON k.company_id = c.company_id AND k.id = c.key_id`;

@Injectable()
export class CertificatesService {
  constructor(
    @Inject(STORE) private readonly store: Store,
    @Inject(API_OPTIONS) private readonly options: ApiOptions,
    @Inject(Reader) private readonly reader: Reader,
    @Inject(Writer) private readonly writer: Writer,
  ) {}

  async whole(caller: Caller, request: FastifyRequest, id: string): Promise<WholeCertificate> {
    const row = (await this.reader.one(certificates, caller, id)) as unknown as Certificate;
    return { ...row, sealed: await this.sealed(caller, id), publicAddress: publicAddressOf(this.options, request, row.number) };
  }

  /** @throws Refusal `not-found`, also for one of another company or owner. */
  async sealed({ context }: Caller, id: string): Promise<SealedCertificate> {
    const rows = await this.store.withCompany(context, (db) => runSql<SealRow>(db, `${SEALS} WHERE c.id = $1::uuid`, [id]));
    if (rows[0] === undefined) throw notFound('certificate');
    return sealedOf(rows[0]);
  }

  async paper(caller: Caller, request: FastifyRequest, id: string): Promise<{ file: Buffer; number: string }> {
    const sealed = await this.sealed(caller, id);
    const { number } = sealed.content;
    return { file: await certificatePaper(sealed, publicAddressOf(this.options, request, number)), number };
  }

  /** All certificates of a site, newest first, one sealed file a line. */
  async bundle({ context }: Caller, siteId: string): Promise<string> {
    return this.store.withCompany(context, async (db) => {
      const rows = await runSql<SealRow>(
        db,
        `${SEALS} JOIN door d ON d.company_id = c.company_id AND d.id = c.door_id
         WHERE d.site_id = $1::uuid ORDER BY c.issued_at DESC, c.id LIMIT ${MOST_IN_BUNDLE + 1}`,
        [siteId],
      );
      if (rows.length > MOST_IN_BUNDLE) throw new Refusal('conflict', `This site has more than ${MOST_IN_BUNDLE} certificates: fetch them one by one.`);
      return rows.map((row) => certificateFileText(sealedOf(row))).join('');
    });
  }

  missing({ context }: Caller): Promise<UncertifiedOrder[]> {
    return this.store.withCompany(context, (db) => uncertified(db, context));
  }

  /** @throws Refusal `conflict` where still nothing can be signed. */
  async issueMissing({ context }: Caller): Promise<CertificatesIssued['items']> {
    try {
      return await issueMissing(this.store, context);
    } catch (error) {
      throw error instanceof KeySecretError ? new Refusal('conflict', `Nothing can be signed: ${error.message}.`) : error;
    }
  }

  async withdraw(caller: Caller, id: string, reason: string): Promise<void> {
    const done = await this.writer.inCompany(caller.context, (db) => withdrawCertificate(db, caller.context, id, reason));
    if (done === null) throw notFound('certificate');
    if (!done) throw new Refusal('conflict', 'This certificate is withdrawn already.');
  }
}

function sealedOf({ content, hash, signature, publicKey }: SealRow): SealedCertificate {
  return { content: JSON.parse(content) as CertificateContent, seal: { hash, algorithm: 'Ed25519', signature, publicKey } };
}
