import {
  certificateFileText, certificatesIssued, certificateWithdraw, companyKey, companyKeyRotate, id as idSchema, sealedCertificate, uncertifiedOrders, wholeCertificate, type CertificatesIssued, type CertificateWithdraw,
  type CompanyKey, type CompanyKeyRotate, type UncertifiedOrder, type WholeCertificate,
} from '@lintel/contract';
import { rotateCompanyKey } from '@lintel/store';
import { Body, Controller, Get, Header, HttpCode, Inject, Param, Post, Query, Req, Res, StreamableFile } from '@nestjs/common';
import { ApiOperation, ApiProduces, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import { Allow, CallerOf, type Caller } from '../platform/access.js';
import { Reader } from '../platform/resource/reader.js';
import { Writer } from '../platform/resource/writer.js';
import { IdPipe } from '../platform/validation.js';
import { attachmentName } from './certificatePaper.js';
import { certificateKeys } from './certificates.js';
import { CertificatesService } from './certificates.service.js';

const ofSite = z.strictObject({ siteId: idSchema });

@ApiTags('safety')
@Controller('certificates')
export class CertificatesController {
  constructor(@Inject(CertificatesService) private readonly service: CertificatesService) {}

  @Get('bundle')
  @Allow('read', 'certificates')
  @Header('content-type', 'application/jsonl; charset=utf-8')
  @Header('content-disposition', 'attachment; filename="certificates.jsonl"')
  @ApiOperation({ summary: 'All certificates of a site in one file, a sealed one a line', operationId: 'getCertificateBundle' })
  @ApiProduces('application/jsonl')
  @ApiResponse({ status: 200, schema: { type: 'string' } })
  bundle(@CallerOf() caller: Caller, @Query({ schema: ofSite }) { siteId }: { siteId: string }): Promise<string> {
    return this.service.bundle(caller, siteId);
  }

  @Get('missing')
  @Allow('write', 'certificates')
  @ApiOperation({ summary: 'Completed inspections without a certificate, the oldest first: nothing could be signed when they were completed', operationId: 'getUncertified' })
  @ApiResponse({ status: 200, standardSchema: uncertifiedOrders })
  async missing(@CallerOf() caller: Caller): Promise<{ items: UncertifiedOrder[] }> {
    return { items: await this.service.missing(caller) };
  }

  @Post('missing')
  @HttpCode(200)
  @Allow('write', 'certificates')
  @ApiOperation({ summary: 'Issue them now, signed with the key that signs now', operationId: 'issueMissingCertificates' })
  @ApiResponse({ status: 200, standardSchema: certificatesIssued })
  async issueMissing(@CallerOf() caller: Caller): Promise<CertificatesIssued> {
    return { items: await this.service.issueMissing(caller) };
  }

  @Get(':id')
  @Allow('read', 'certificates')
  @ApiOperation({ summary: 'One certificate with all that it says and its seal', operationId: 'getCertificate' })
  @ApiResponse({ status: 200, standardSchema: wholeCertificate })
  one(@CallerOf() caller: Caller, @Req() request: FastifyRequest, @Param('id', IdPipe) id: string): Promise<WholeCertificate> {
    return this.service.whole(caller, request, id);
  }

  @Get(':id/file')
  @Allow('read', 'certificates')
  @Header('content-type', 'application/json; charset=utf-8')
  @ApiOperation({ summary: 'The sealed certificate as a file, byte for byte as it is verified', operationId: 'getCertificateFile' })
  @ApiResponse({ status: 200, standardSchema: sealedCertificate })
  async file(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Res({ passthrough: true }) reply: FastifyReply): Promise<string> {
    const sealed = await this.service.sealed(caller, id);
    reply.header('content-disposition', `attachment; filename="${attachmentName(sealed.content.number)}"`);
    return certificateFileText(sealed);
  }

  @Get(':id/paper')
  @Allow('read', 'certificates')
  @ApiOperation({ summary: 'The certificate on paper (PDF), the sealed one inside', operationId: 'getCertificatePaper' })
  @ApiProduces('application/pdf')
  @ApiResponse({ status: 200, schema: { type: 'string', format: 'binary' } })
  async paper(@CallerOf() caller: Caller, @Req() request: FastifyRequest, @Param('id', IdPipe) id: string): Promise<StreamableFile> {
    const { file, number } = await this.service.paper(caller, request, id);
    return new StreamableFile(file, { type: 'application/pdf', disposition: `attachment; filename="certificate-${number}.pdf"`, length: file.length });
  }

  @Post(':id/withdraw')
  @HttpCode(200)
  @Allow('write', 'certificates')
  @ApiOperation({ summary: 'Take a certificate back; the public page says so at once', operationId: 'withdrawCertificate' })
  @ApiResponse({ status: 200, standardSchema: wholeCertificate })
  async withdraw(
    @CallerOf() caller: Caller,
    @Req() request: FastifyRequest,
    @Param('id', IdPipe) id: string,
    @Body({ schema: certificateWithdraw }) { reason }: CertificateWithdraw,
  ): Promise<WholeCertificate> {
    await this.service.withdraw(caller, id, reason);
    return this.service.whole(caller, request, id);
  }
}

@ApiTags('safety')
@Controller('certificate-keys')
export class CertificateKeysController {
  constructor(
    @Inject(Reader) private readonly reader: Reader,
    @Inject(Writer) private readonly writer: Writer,
  ) {}

  @Post('rotate')
  @HttpCode(200)
  @Allow('write', 'certificate-keys')
  @ApiOperation({ summary: 'A new key signs from now on; what those of before signed is verified as ever', operationId: 'rotateCertificateKey' })
  @ApiResponse({ status: 200, standardSchema: companyKey })
  async rotate(@CallerOf() caller: Caller, @Body({ schema: companyKeyRotate }) { reason }: CompanyKeyRotate): Promise<CompanyKey> {
    const id = await this.writer.inCompany(caller.context, (db) => rotateCompanyKey(db, caller.context, reason));
    return (await this.reader.one(certificateKeys, caller, id)) as CompanyKey;
  }

  @Get(':id/pem')
  @Allow('read', 'certificate-keys')
  @Header('content-type', 'application/x-pem-file')
  @ApiOperation({ summary: 'A public key as a PEM file, for `lintel verify --key`', operationId: 'getCertificateKeyPem' })
  @ApiProduces('application/x-pem-file')
  @ApiResponse({ status: 200, schema: { type: 'string' } })
  async pem(@CallerOf() caller: Caller, @Param('id', IdPipe) id: string, @Res({ passthrough: true }) reply: FastifyReply): Promise<string> {
    const key = (await this.reader.one(certificateKeys, caller, id)) as CompanyKey;
    reply.header('content-disposition', `attachment; filename="certificate-key-${key.fingerprint.slice(0, 16)}.pem"`);
    return key.publicKey;
  }
}
