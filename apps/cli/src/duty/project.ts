import { projectCompany } from '@lintel/store';
import { Command } from 'commander';
import { FailureError } from '../inputError.js';
import { chooseCompany, withHome } from '../withHome.js';

/** `lintel project`: what the nightly job does, now. */
export function projectCommand(): Command {
  return new Command('project')
    .description('project all doors of a company now: duty, remaining life of every part, due dates of every task')
    .option('--company <name>', 'the company, by name or id; needed where there are several')
    .option('--json', 'print the result as JSON')
    .addHelpText('after', '\nExample:\n  npx lintel project --json')
    .action(async (options: { company?: string; json?: true }) => {
      const shown = process.stderr.isTTY;
      const result = await withHome(async (opened) => {
        const context = await chooseCompany(opened, options.company);
        return projectCompany(opened.store, context, {
          now: new Date(),
          onProgress: (done, total) => void (shown && process.stderr.write(`\r${done} of ${total} doors`)),
        });
      });
      if (shown) process.stderr.write('\r\u001b[K');
      const { projected, decommissioned, failed } = result;
      process.stdout.write(options.json ? `${JSON.stringify(result)}\n`
        : `${projected} doors projected, ${decommissioned} decommissioned, ${failed.length} could not be computed\n`);
      for (const { doorId, reason } of failed) process.stderr.write(`door ${doorId}: ${reason}\n`);
      if (failed.length > 0) throw new FailureError(`${failed.length} doors could not be computed`);
    });
}
