import { Command } from 'commander';
import { prepareDatabase } from '@lintel/store';
import { InputError } from '../inputError.js';

/** `lintel migrate`: the step of the served form that alone knows the schema owner's password. */
export function migrateCommand(): Command {
  return new Command('migrate')
    .description('bring the database of DATABASE_URL to this version and make its sign-in roles')
    .addHelpText(
      'after',
      '\nEnvironment:\n  DATABASE_URL        the schema\'s owner: may make tables and roles' +
        '\n  APP_DATABASE_URL    role for the API and the worker; left out: follows from DATABASE_URL' +
        '\n  RELAY_DATABASE_URL  role for the relay; likewise' +
        '\n\nExample:\n  DATABASE_URL=postgres://owner:secret@db/lintel npx lintel migrate',
    )
    .action(async () => {
      const ownerUrl = process.env['DATABASE_URL'];
      if (!ownerUrl) throw new InputError('DATABASE_URL must name the database, as its schema\'s owner');
      const { applied } = await prepareDatabase(ownerUrl, process.env);
      process.stdout.write(applied.length === 0 ? 'the database is up to date\n' : `applied: ${applied.join(', ')}\n`);
    });
}
