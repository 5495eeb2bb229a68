import { InputError } from '../inputError.js';

export interface ServeOptions {
  port: number;
  host: string;
}

const DEFAULT_PORT = 4600;

/** PORT and HOST of the environment. @throws InputError naming the variable that is wrong. */
export function serveOptions(environment: NodeJS.ProcessEnv): ServeOptions {
  const given = environment['PORT'];
  const port = given === undefined || given === '' ? DEFAULT_PORT : Number(given);
  if (!Number.isInteger(port) || port < 1 || port > 65_535) {
    throw new InputError(`PORT must be a whole number from 1 to 65535, is '${given}'`);
  }
  return { port, host: environment['HOST'] || '127.0.0.1' };
}
