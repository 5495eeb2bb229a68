import { Command, CommanderError } from 'commander';
import { checkCommand } from './check/check.js';
import { forecastCommand } from './duty/forecast.js';
import { importCommand } from './duty/import.js';
import { projectCommand } from './duty/project.js';
import { trendCommand } from './faults/trend.js';
import { FailureError, InputError } from './inputError.js';
import { anchorLedgerCommand } from './ledger/anchorLedger.js';
import { checkLedgerCommand } from './ledger/checkLedger.js';
import { routeCommand } from './routes/route.js';
import { certificateKeyCommand } from './safety/certificateKey.js';
import { forceCommand } from './safety/force.js';
import { issueCertificatesCommand } from './safety/issueCertificates.js';
import { verifyCommand } from './safety/verify.js';
import { seedCommand } from './seed/seed.js';
import { serveCommand } from './serve/command.js';
import { migrateCommand } from './serve/migrate.js';
import { fitCommand } from './wear/fit.js';
import { renewalCommand } from './wear/renewal.js';

const BAD_INPUT = 2;
const FAILED = 1;

/** Runs one command line. @returns the exit code: 0 done, 1 failed, 2 the input cannot be used. */
export async function main(words: readonly string[]): Promise<number> {
  const program = new Command('lintel')
    .description('Keeps a fleet of powered high-speed roll-up doors safe, tight and running.')
    .addHelpText('after', '\nExamples:\n  npx lintel serve\n  npx lintel import readings march.csv\n  npx lintel forecast counter.csv --days 30,90 --target 1000000');
  for (const command of [
    serveCommand(), importCommand(), forecastCommand(), projectCommand(), routeCommand(), forceCommand(), trendCommand(), checkCommand(), seedCommand(),
    migrateCommand(), fitCommand(), renewalCommand(), checkLedgerCommand(), anchorLedgerCommand(), verifyCommand(), certificateKeyCommand(),
    issueCertificatesCommand(),
  ]) {
    program.addCommand(command);
  }
  answerByCode(program);
  try {
    await program.parseAsync(words);
    return 0;
  } catch (error) {
    return report(error, words[2] ?? '');
  }
}

/** No command may end the process by itself: connections would stay open behind it. */
function answerByCode(command: Command): void {
  command.exitOverride().showSuggestionAfterError(false);
  for (const part of command.commands) answerByCode(part);
}

function report(error: unknown, word: string): number {
  // Commander has said it already: help, version, or what is wrong with the words.
  if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : BAD_INPUT;
  process.stderr.write(`lintel ${word}: ${oneLine(error)}\n`);
  if (error instanceof InputError) return BAD_INPUT;
  if (!(error instanceof FailureError) && process.env['LINTEL_TRACE']) process.stderr.write(`${String((error as Error).stack)}\n`);
  return FAILED;
}

function oneLine(error: unknown): string {
  // Node gathers the failures of several addresses without a message of its own.
  const told = error instanceof AggregateError && error.errors.length > 0 ? (error.errors[0] as unknown) : error;
  const { message } = told as Error;
  return (message || String(told)).trim().split('\n').map((line) => line.trim()).filter((line) => line !== '').join(' ');
}
