import { accessSync, constants } from 'node:fs';
import { homeFolder } from '@lintel/store';
import { Redis } from 'ioredis';
import { serveOptions } from '../serve/serveOptions.js';
import { reasonOf, withoutPassword, type Finding } from './finding.js';

const LEAST_NODE = [20, 19] as const;
const ANSWER_WITHIN_MS = 5_000;

export function nodeFinding(version = process.versions.node): Finding {
  const [major = 0, minor = 0] = version.split('.').map(Number);
  const ok = major > LEAST_NODE[0] || (major === LEAST_NODE[0] && minor >= LEAST_NODE[1]);
  return { what: 'Node', ok, detail: ok ? version : `${version} is too old: ${LEAST_NODE.join('.')} or newer is needed` };
}

export function homeFinding(environment: NodeJS.ProcessEnv): Finding {
  try {
    const home = homeFolder(environment);
    accessSync(home, constants.R_OK | constants.W_OK);
    return { what: 'data folder', ok: true, detail: home };
  } catch (error) {
    return { what: 'data folder', ok: false, detail: `${reasonOf(error)}; LINTEL_HOME names another` };
  }
}

export function portFinding(environment: NodeJS.ProcessEnv): Finding {
  try {
    const { host, port } = serveOptions(environment);
    return { what: 'address', ok: true, detail: `${host}, port ${port}` };
  } catch (error) {
    return { what: 'address', ok: false, detail: reasonOf(error) };
  }
}

export async function redisFinding(redisUrl: string): Promise<Finding> {
  let redis: Redis | undefined;
  let cause: Error | undefined;
  try {
    const shown = withoutPassword(redisUrl);
    redis = new Redis(redisUrl, { lazyConnect: true, maxRetriesPerRequest: 0, retryStrategy: () => null, connectTimeout: ANSWER_WITHIN_MS });
    // connect() itself only says that the connection is closed.
    redis.on('error', (error: Error) => (cause = error));
    await redis.connect();
    const version = /redis_version:(\S+)/.exec(await redis.info('server'))?.[1] ?? 'of unknown version';
    return { what: 'Redis', ok: true, detail: `${version} at ${shown}` };
  } catch (error) {
    return { what: 'Redis', ok: false, detail: `REDIS_URL: ${reasonOf(cause ?? error)}` };
  } finally {
    redis?.disconnect();
  }
}
