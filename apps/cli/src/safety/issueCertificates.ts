import { issueMissing, KeySecretError, MOST_UNCERTIFIED, uncertified } from '@lintel/store';
import { Command } from 'commander';
import { FailureError } from '../inputError.js';
import { chooseCompany, withHome } from '../withHome.js';

interface Options {
  company?: string;
  list?: boolean;
  json?: boolean;
}

/** `lintel issue-certificates`: for inspections that were completed while nothing could be signed. */
export function issueCertificatesCommand(): Command {
  return new Command('issue-certificates')
    .description('issue the certificates of completed inspections that have none, because no key secret was there when they were completed')
    .option('--company <NAME>', 'which company, by name or id, where there are several')
    .option('--list', 'only say which inspections have no certificate')
    .option('--json', 'print the result as JSON')
    .addHelpText('after', `\nAt most ${MOST_UNCERTIFIED} at once, the oldest first; asked again, it goes on. What has a certificate keeps it.` +
      '\n\nExit code 0: done; 1: nothing can be signed; 2: the input cannot be used.\n\nExample:\n  npx lintel issue-certificates --list')
    .action(issue);
}

async function issue({ company, list = false, json = false }: Options): Promise<void> {
  const rows = await withHome(async (opened) => {
    const context = await chooseCompany(opened, company);
    if (list) return opened.store.withCompany(context, (db) => uncertified(db, context));
    return issueMissing(opened.store, context).catch((error: unknown) => {
      throw error instanceof KeySecretError ? new FailureError(error.message) : error;
    });
  });
  process.stdout.write(json ? `${JSON.stringify(rows)}\n` : `${rows.map(lineOf).join('')}${rows.length} ${list ? 'without a certificate' : 'issued'}\n`);
}

type Line = Awaited<ReturnType<typeof issueMissing>>[number];

const lineOf = (one: Omit<Line, 'id' | 'number'> & Partial<Line>): string =>
  `${one.number ?? 'no certificate'}  order ${one.workOrderNumber}, door ${one.doorName}, ${one.siteName}, completed ${one.completedAt}\n`;
