import type { LedgerAnchor } from '@lintel/contract';
import { ledgerAnchor } from '@lintel/store';
import { Command } from 'commander';
import { chooseCompanies, withHome } from '../withHome.js';

/** `lintel anchor-ledger`: where each company's chain ends now. */
export function anchorLedgerCommand(): Command {
  return new Command('anchor-ledger')
    .description('print anchors of the ledger as JSON: place, hash and time of each company\'s last entry, to be kept elsewhere')
    .option('--company <name>', 'this company alone, by name or id; without it, all')
    .addHelpText('after', '\nExample:\n  npx lintel anchor-ledger > anchors-2026-01.json\nand later\n  npx lintel check-ledger --anchors anchors-2026-01.json')
    .action(async (options: { company?: string }) => {
      const anchors = await withHome(async (opened) => {
        const found: (LedgerAnchor | null)[] = [];
        for (const { context } of await chooseCompanies(opened, options.company)) {
          found.push(await opened.store.withCompanySql(context, ledgerAnchor));
        }
        return found.filter((anchor) => anchor !== null);
      });
      process.stdout.write(`${JSON.stringify({ anchors }, null, 2)}\n`);
    });
}
