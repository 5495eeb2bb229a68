import { DEMO_DOORS, homeSecrets, projectCompany, seedDemo } from '@lintel/store';
import { Command } from 'commander';
import { wholeOption } from '../options.js';
import { contextOf, withHome } from '../withHome.js';

const MOST_DOORS = 20_000;
/** Of each door in a large demo, evenly spread over eighteen months. */
const LARGE_READINGS = 100;

/** `lintel seed`: the demo scenario, or a large one in a company of its own. */
export function seedCommand(): Command {
  return new Command('seed')
    .description('fill the database with the demo scenario; with --doors a large one, in a company of its own')
    .option('--doors <N>', `doors of the large demo, up to ${MOST_DOORS}; left out: the demo with its ${DEMO_DOORS} doors`)
    .option('--seed <K>', 'equal seeds make equal demos', '4600')
    .option('--readings <N>', `readings of each door of the large demo (${LARGE_READINGS})`)
    .option('--json', 'print the result as JSON')
    .addHelpText('after', '\nThe password of the sign-ins is LINTEL_DEMO_PASSWORD, else that of the demo in the data folder.\n\nExample:\n  npx lintel seed --doors 10000')
    .action(async (options: { doors?: string; seed: string; readings?: string; json?: true }) => {
      const seed = wholeOption('--seed', options.seed, 0, 0xffff_ffff);
      const large = options.doors === undefined ? null : {
        large: true,
        doors: wholeOption('--doors', options.doors, 1, MOST_DOORS),
        readingsPerDoor: options.readings === undefined ? LARGE_READINGS : wholeOption('--readings', options.readings, 1, 500),
      };
      await withHome(async ({ home, store }) => {
        const password = process.env['LINTEL_DEMO_PASSWORD'] || homeSecrets(home.home).demoPassword;
        const onProgress = (doors: number): void => void process.stderr.write(`${doors} doors made\n`);
        const made = await seedDemo(store, { seed, password, now: Date.now(), ...large, onProgress });
        if (made.created) await projectCompany(store, contextOf(made.companyId), { now: new Date() });
        process.stdout.write(options.json ? `${JSON.stringify(made)}\n` : seededText(made, password));
      });
    });
}

function seededText(made: Awaited<ReturnType<typeof seedDemo>>, password: string): string {
  if (!made.created) return `${made.company} is there already; nothing was changed\n`;
  return [
    `${made.company}: ${made.doors} doors, ${made.readings} readings, ${made.fittedParts} parts, ${made.completions} completions, ${made.faults} faults`,
    `sign-ins (password: ${password}):`,
    ...made.signIns.map(({ role, email }) => `  ${email} (${role})`),
    '',
  ].join('\n');
}
