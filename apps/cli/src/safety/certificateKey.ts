import type { CompanyKey } from '@lintel/contract';
import { Command } from 'commander';
import { FailureError } from '../inputError.js';
import { chooseCompany, withHome } from '../withHome.js';

/** `lintel certificate-key [--company NAME] [--all]`: the public half, to be handed out. */
export function certificateKeyCommand(): Command {
  return new Command('certificate-key')
    .description('print the public key that certificates are signed with (PEM), for lintel verify --key')
    .option('--company <NAME>', 'which company, by name or id, where there are several')
    .option('--all', 'also the keys of before, the newest first')
    .action(async ({ company, all = false }: { company?: string; all?: boolean }) => {
      await withHome(async (opened) => {
        const context = await chooseCompany(opened, company);
        const { rows } = await opened.store.withCompanySql(context, (client) =>
          client.query<CompanyKey>(`SELECT * FROM company_key_list WHERE $1 OR "retiredAt" IS NULL ORDER BY "createdAt" DESC`, [all]));
        if (rows.length === 0) throw new FailureError('there is no key yet: the first certificate makes it');
        for (const { publicKey } of rows) process.stdout.write(publicKey);
      });
    });
}
