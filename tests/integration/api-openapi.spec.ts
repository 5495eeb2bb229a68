import { KnownRoutes } from '@lintel/api';
import { Validator } from '@seriousme/openapi-schema-validator';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { TestApi } from '../support/api.js';
import { openTestDatabase, type TestDatabase } from '../support/testDatabase.js';

interface Operation {
  operationId?: string;
  parameters?: { name: string; in: string }[];
  requestBody?: { content: Record<string, { schema?: object }> };
  responses: Record<string, { content?: Record<string, { schema?: object }> }>;
}

let database: TestDatabase;
let api: TestApi;
let document: { openapi: string; paths: Record<string, Record<string, Operation>>; components: { schemas: Record<string, object> } };
beforeAll(async () => {
  database = await openTestDatabase();
  api = await TestApi.open(database.store);
  document = (await api.ask({ method: 'GET', url: 'openapi.json' })).body;
});
afterAll(async () => {
  await api?.close();
  await database?.drop();
});

const operations = (): [string, Operation][] =>
  Object.entries(document.paths).flatMap(([path, methods]) => Object.entries(methods).map(([method, operation]): [string, Operation] => [`${method.toUpperCase()} ${path}`, operation]));

test('is valid by the schema that the OpenAPI Initiative publishes for 3.0', async () => {
  const result = await new Validator().validate(document);
  expect(result.errors ?? []).toEqual([]);
  expect(result.valid).toBe(true);
});

test('holds every route, and none that is not there', () => {
  const routes = api.app.get(KnownRoutes).all()
    .filter(({ method }) => method !== 'HEAD' && method !== 'OPTIONS')
    .map(({ path, method }) => `${method} ${path.replace(/:(\w+)/g, '{$1}')}`);
  expect(operations().map(([name]) => name).sort()).toEqual(routes.sort());
});

test('says of every operation what it answers, in good and in bad, under a name of its own', () => {
  const names = operations().map(([, { operationId }]) => operationId);
  expect(new Set(names).size).toBe(names.length);
  for (const [name, { responses }] of operations()) {
    const good = Object.entries(responses).filter(([status]) => status.startsWith('2'));
    expect([name, good.length]).toEqual([name, 1]);
    const [status, answer] = good[0]!;
    if (status !== '204') expect([name, Object.values(answer.content ?? {}).every(({ schema }) => schema !== undefined && Object.keys(schema).length > 0)]).toEqual([name, true]);
    if (status !== '204') expect([name, Object.keys(answer.content ?? {}).length]).toEqual([name, 1]);
    expect(responses['default']?.content?.['application/problem+json']?.schema).toEqual({ $ref: '#/components/schemas/Problem' });
  }
});

test('says of every change its body and If-Match, and of every list its parameters', () => {
  for (const [name, operation] of operations()) {
    const parameters = (operation.parameters ?? []).map((parameter) => parameter.name);
    if (name.startsWith('PATCH')) expect([name, parameters.includes('If-Match'), operation.requestBody !== undefined]).toEqual([name, true, true]);
    if (operation.operationId?.startsWith('list') && name !== 'GET /api/v1/door-type-library') {
      expect([name, ['limit', 'offset', 'sort', 'count'].every((word) => parameters.includes(word))]).toEqual([name, true]);
    }
  }
});

test('leaves no reference hanging', () => {
  const references = [...JSON.stringify(document).matchAll(/"\$ref":"#\/components\/schemas\/([^"]+)"/g)].map(([, name]) => name!);
  expect(references.length).toBeGreaterThan(50);
  expect(references.filter((name) => document.components.schemas[name] === undefined)).toEqual([]);
  expect(JSON.stringify(document)).not.toMatch(/"\$ref":"#\/(\$defs|definitions)/);
});
