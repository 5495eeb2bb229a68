import { readFileSync, readdirSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { PrismaPg } from '@prisma/adapter-pg';
import { bindMigrationAwareSqlAdapterFactory, ColumnTypeEnum, type SqlDriverAdapter } from '@prisma/driver-adapter-utils';
import pg from 'pg';
import type { DiffTarget, MigrationList, SchemaEngine, SchemasContainer } from '@prisma/schema-engine-wasm';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..', '..', '..');
const migrationsFolder = join(root, 'prisma', 'migrations');
const schemaFolder = join(root, 'prisma', 'schema');
/** The part of WebAssembly's interface used here; the type is the browser's library's, which a store has no use for. */
const { instantiate } = (globalThis as unknown as { WebAssembly: { instantiate: Instantiate } }).WebAssembly;
type Instantiate = (bytes: Uint8Array, imports: object) => Promise<{ instance: { exports: Record<string, unknown> } }>;

const CHAR_OID = 18;
const TEXT_OID = 25;
const noFilters = { externalTables: [], externalEnums: [] };

/**
 * Prisma's adapter cuts a script at every semicolon, also inside a function's body. PostgreSQL takes a script whole,
 * and then as one transaction: a migration is applied entirely or not at all.
 */
class WholeScripts extends PrismaPg {
  /** The engine answers "external connector error" and keeps the reason to itself. */
  failure: Error | null = null;

  override async connect(): ReturnType<PrismaPg['connect']> {
    const adapter = await super.connect();
    const pool = adapter.underlyingDriver();
    readSingleCharacters(adapter, pool);
    adapter.executeScript = async (script: string): Promise<void> => {
      try {
        await pool.query(script);
      } catch (error) {
        this.failure = error as Error;
        throw error;
      }
    };
    return adapter;
  }
}

/**
 * PostgreSQL's catalogue is full of columns of type "char", which the adapter refuses and the engine wants as characters:
 * they pass the adapter as texts and get their type afterwards. One query is under way at a time.
 */
function readSingleCharacters(adapter: SqlDriverAdapter, pool: pg.Pool): void {
  let characterColumns: number[] = [];
  const query = pool.query.bind(pool) as (...values: unknown[]) => Promise<pg.QueryResult>;
  pool.query = (async (...values: unknown[]) => {
    const result = await query(...values);
    characterColumns = [];
    for (const [index, field] of (result.fields ?? []).entries()) {
      if (field.dataTypeID !== CHAR_OID) continue;
      field.dataTypeID = TEXT_OID;
      characterColumns.push(index);
    }
    return result;
  }) as typeof pool.query;
  const queryRaw = adapter.queryRaw.bind(adapter);
  adapter.queryRaw = async (sql) => {
    const result = await queryRaw(sql);
    for (const index of characterColumns) result.columnTypes[index] = ColumnTypeEnum.Character;
    return result;
  };
}

/**
 * Prisma's schema engine as WebAssembly. Its native form is looked up on the network, which a bare machine may not
 * have; and the package's own entry imports a .wasm as a module, which Node 20 does not do: hence loaded by hand.
 */
async function loadEngineClass(): Promise<typeof SchemaEngine> {
  const require = createRequire(import.meta.url);
  const folder = dirname(require.resolve('@prisma/schema-engine-wasm'));
  const glue = (await import('@prisma/schema-engine-wasm/schema_engine_bg')) as unknown as {
    __wbg_set_wasm(exports: object): void;
    SchemaEngine: typeof SchemaEngine;
  };
  const bytes = readFileSync(join(folder, 'schema_engine_bg.wasm'));
  const { instance } = await instantiate(bytes, { './schema_engine_bg.js': glue });
  glue.__wbg_set_wasm(instance.exports);
  (instance.exports['__wbindgen_start'] as () => void)();
  return glue.SchemaEngine;
}

/** The glue code holds one instance for the whole process: made once, and used by one caller at a time. */
let engineClass: Promise<typeof SchemaEngine> | undefined;
let lastUse: Promise<unknown> = Promise.resolve();

function schemaFiles(): SchemasContainer {
  const names = readdirSync(schemaFolder).filter((name) => name.endsWith('.prisma')).sort();
  return { files: names.map((name) => ({ path: name, content: readFileSync(join(schemaFolder, name), 'utf8') })) };
}

/** Names of the migrations in the project's folder, oldest first. */
export function migrationNames(): string[] {
  return readdirSync(migrationsFolder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name)
    .sort();
}

function migrationList(): MigrationList {
  const lockfile = readFileSync(join(migrationsFolder, 'migration_lock.toml'), 'utf8');
  return {
    baseDir: migrationsFolder,
    lockfile: { path: 'migration_lock.toml', content: lockfile },
    shadowDbInitScript: '',
    migrationDirectories: migrationNames().map((path) => ({
      path,
      migrationFile: {
        path: 'migration.sql',
        content: { tag: 'ok', value: readFileSync(join(migrationsFolder, path, 'migration.sql'), 'utf8') },
      },
    })),
  };
}

function withEngine<T>(databaseUrl: string, work: (engine: SchemaEngine) => Promise<T>): Promise<T> {
  const use = lastUse.then(() => useEngine(databaseUrl, work));
  lastUse = use.catch(() => undefined);
  return use;
}

async function useEngine<T>(databaseUrl: string, work: (engine: SchemaEngine) => Promise<T>): Promise<T> {
  engineClass ??= loadEngineClass();
  const pool = new pg.Pool({ connectionString: databaseUrl, max: 1 });
  const adapterFactory = new WholeScripts(pool);
  const datamodels = schemaFiles().files.map(({ path, content }): [string, string] => [path, content]);
  try {
    const adapter = bindMigrationAwareSqlAdapterFactory(adapterFactory);
    const engine = await (await engineClass).new({ datamodels }, () => undefined, adapter);
    const result = await work(engine);
    engine.free();
    return result;
  } catch (error) {
    throw adapterFactory.failure ?? error;
  } finally {
    await pool.end();
  }
}

/**
 * Applies the project's migrations that the database lacks, each in a transaction of its own.
 * @returns their names.
 * @throws PostgreSQL's error of the first one that fails; it leaves nothing behind.
 */
export function applyMigrations(databaseUrl: string): Promise<string[]> {
  return withEngine(databaseUrl, async (engine) => {
    const result = await engine.applyMigrations({ migrationsList: migrationList(), filters: noFilters });
    return result.appliedMigrationNames;
  });
}

/** SQL that would bring the database's tables to the Prisma schema; says that it is empty where they agree. */
export function driftFromSchema(databaseUrl: string): Promise<string> {
  return difference(databaseUrl, { tag: 'schemaDatasource', ...schemaFiles(), configDir: schemaFolder });
}

function difference(databaseUrl: string, from: DiffTarget): Promise<string> {
  return withEngine(databaseUrl, async (engine) => {
    const to: DiffTarget = { tag: 'schemaDatamodel', ...schemaFiles() };
    const result = await engine.diff({ from, to, script: true, exitCode: null, filters: noFilters });
    return result.stdout ?? '';
  });
}
