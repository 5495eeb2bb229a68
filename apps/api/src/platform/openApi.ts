import { faultGiven, problem, publicCertificate, readingGiven, technicianCommand } from '@lintel/contract';
import { Controller, Get, Header, Inject, Injectable } from '@nestjs/common';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { ApiOperation, ApiResponse, ApiTags, DocumentBuilder, SwaggerModule, type OpenAPIObject } from '@nestjs/swagger';
import { z } from 'zod';
import { cookieName } from '../people/cookie.js';
import { publicCertificatesPath } from '../safety/publicCertificates.js';
import { Open } from './access.js';

const description = `Doors, how hard they work, what wears out when and what falls due. Every list takes limit, offset, sort and
count; every change of a row takes If-Match with the row's ETag. Every refusal is RFC 9457 problem details.`;

type SchemaObject = NonNullable<NonNullable<OpenAPIObject['components']>['schemas']>[string];

/** The OpenAPI document, made from the routes and the contract's schemas. */
export function openApiDocument(app: NestFastifyApplication, secureCookies: boolean): OpenAPIObject {
  const config = new DocumentBuilder()
    .setTitle('Lintel')
    .setVersion('1')
    .setDescription(description)
    .setOpenAPIVersion('3.0.3')
    .addCookieAuth(cookieName(secureCookies), { type: 'apiKey', in: 'cookie' }, 'session')
    .addSecurityRequirements('session')
    .build();
  const document = SwaggerModule.createDocument(app, config);
  document.components = { ...document.components, schemas: { ...document.components?.schemas, ...ownSchemas() } };
  document.paths['/certificates/{number}'] = publicCertificatesPath;
  const refused = {
    description: 'Refused, or failed',
    content: { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } },
  };
  for (const path of Object.values(document.paths)) {
    for (const method of ['get', 'post', 'put', 'patch', 'delete'] as const) {
      const operation = path[method];
      if (operation !== undefined) operation.responses['default'] = refused;
    }
  }
  return document;
}

/** Schemas that no route names by itself. */
function ownSchemas(): Record<string, SchemaObject> {
  const own = [problem, readingGiven, faultGiven, publicCertificate, technicianCommand];
  return Object.assign({}, ...own.map((schema) => {
    const made = z.toJSONSchema(schema, { target: 'openapi-3.0', io: 'input' }) as { definitions?: Record<string, SchemaObject> };
    // What it refers to comes with it, and lies where everything lies here.
    const text = JSON.stringify(made.definitions ?? {}).replaceAll('"#/definitions/', '"#/components/schemas/');
    return JSON.parse(text) as Record<string, SchemaObject>;
  })) as Record<string, SchemaObject>;
}

/** The document's text; made once, at the start: a mistake in it stops the start and not the first reader. */
@Injectable()
export class OpenApiText {
  text = '';

  make(app: NestFastifyApplication, secureCookies: boolean): void {
    this.text = JSON.stringify(openApiDocument(app, secureCookies));
  }
}

@ApiTags('platform')
@Controller('openapi.json')
export class OpenApiController {
  constructor(@Inject(OpenApiText) private readonly document: OpenApiText) {}

  @Get()
  @Open()
  @Header('content-type', 'application/json; charset=utf-8')
  @ApiOperation({ summary: 'This document', operationId: 'getOpenApi' })
  @ApiResponse({ status: 200, schema: { type: 'object' } })
  read(): string {
    return this.document.text;
  }
}
