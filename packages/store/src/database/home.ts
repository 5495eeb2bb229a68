import { randomBytes } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';

/** What one installation keeps for itself beside the database. */
export interface HomeSecrets {
  /** Password of the embedded server's owner role. */
  databasePassword: string;
  /** Password of the demo sign-ins, where none was given. */
  demoPassword: string;
}

/** The data folder: `LINTEL_HOME`, or `.lintel` in the working folder. Made when missing. */
export function homeFolder(environment: NodeJS.ProcessEnv = process.env): string {
  const folder = resolve(environment['LINTEL_HOME'] ?? '.lintel');
  mkdirSync(folder, { recursive: true });
  return folder;
}

/** Reads the home's secrets; makes them at random the first time. Readable by their owner alone. */
export function homeSecrets(home: string): HomeSecrets {
  const file = join(home, 'secrets.json');
  if (existsSync(file)) return JSON.parse(readFileSync(file, 'utf8')) as HomeSecrets;
  const secrets = { databasePassword: randomBytes(24).toString('base64url'), demoPassword: randomBytes(9).toString('base64url') };
  writeFileSync(file, JSON.stringify(secrets, null, 2), { mode: 0o600 });
  return secrets;
}
