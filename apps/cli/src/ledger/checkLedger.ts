import { readFileSync } from 'node:fs';
import { chainFaultText, ledgerAnchors, type LedgerAnchor } from '@lintel/contract';
import { checkLedger } from '@lintel/store';
import { Command } from 'commander';
import { FailureError, InputError } from '../inputError.js';
import { unreadable } from '../options.js';
import { chooseCompanies, withHome } from '../withHome.js';

interface Options {
  company?: string;
  anchors?: string;
  json?: true;
}

/** `lintel check-ledger`: walks each company's chain, from the first entry to the last. */
export function checkLedgerCommand(): Command {
  return new Command('check-ledger')
    .description('check that no entry of the ledger was changed, removed, moved or put in: every seal is computed anew')
    .option('--company <name>', 'this company alone, by name or id; without it, all')
    .option('--anchors <file>', 'hold the chain against anchors that were exported earlier and kept elsewhere')
    .option('--json', 'print the result as JSON')
    .addHelpText('after', '\nExit code 0: all entries fit; 1: one does not, it is named; 2: the input cannot be used.\n\nExample:\n  npx lintel check-ledger --anchors anchors-2026-01.json')
    .action(check);
}

async function check(options: Options): Promise<void> {
  const anchors = options.anchors === undefined ? [] : readAnchors(options.anchors);
  const { results, strangers } = await withHome(async (opened) => {
    const companies = await chooseCompanies(opened, options.company);
    const known = new Set(companies.map(({ context }) => context.companyId));
    const found: unknown[] = [];
    for (const { context, name } of companies) {
      const ours = anchors.filter(({ companyId }) => companyId === context.companyId);
      const { entries, hash, fault } = await checkLedger(opened.store, context, {
        anchors: new Map(ours.map((anchor) => [anchor.sequence, anchor.hash])),
        onProgress: (done, total) => void (process.stderr.isTTY && process.stderr.write(`\r${name}: ${done} of ${total} entries\u001b[K`)),
      });
      const why = fault === null ? null : chainFaultText(fault);
      found.push({ companyId: context.companyId, companyName: name, entries, hash, anchors: ours.length, fault, why });
    }
    return { results: found as Result[], strangers: options.company === undefined ? anchors.filter(({ companyId }) => !known.has(companyId)) : [] };
  });
  if (process.stderr.isTTY) process.stderr.write('\r\u001b[K');
  process.stdout.write(options.json ? `${JSON.stringify({ ok: results.every(({ fault }) => fault === null) && strangers.length === 0, companies: results })}\n` : results.map(lineOf).join(''));
  const [stranger] = strangers;
  if (stranger !== undefined) throw new FailureError(`${options.anchors}: there is an anchor of ${JSON.stringify(stranger.companyName)}, but no such company here any more`);
  const broken = results.filter(({ fault }) => fault !== null);
  if (broken.length > 0) throw new FailureError(`the ledger of ${broken.map(({ companyName }) => JSON.stringify(companyName)).join(', ')} does not hold`);
}

interface Result {
  companyName: string;
  entries: number;
  hash: string;
  anchors: number;
  fault: object | null;
  why: string | null;
}

function lineOf({ companyName, entries, hash, anchors, why }: Result): string {
  const held = anchors === 0 ? '' : `, ${anchors} ${anchors === 1 ? 'anchor fits' : 'anchors fit'}`;
  const counted = `${entries} ${entries === 1 ? 'entry' : 'entries'} in order`;
  if (why === null) return `${companyName}: ${counted}${held}${entries === 0 ? '' : `, the last with hash ${hash}`}\n`;
  return `${companyName}: ${counted}, then: ${why}\n`;
}

function readAnchors(file: string): LedgerAnchor[] {
  let text: string;
  try {
    text = readFileSync(file, 'utf8');
  } catch (error) {
    throw unreadable(file, error);
  }
  let given: unknown;
  try {
    given = JSON.parse(text);
  } catch {
    throw new InputError(`${file}: is not JSON`);
  }
  const parsed = ledgerAnchors.safeParse(given);
  if (!parsed.success) throw new InputError(`${file}: ${parsed.error.issues[0]?.path.join('.') || 'file'}: ${parsed.error.issues[0]?.message}`);
  const hashes = new Map<string, string>();
  for (const { companyId, sequence, hash } of parsed.data.anchors) {
    const key = `${companyId} ${sequence}`;
    if ((hashes.get(key) ?? hash) !== hash) throw new InputError(`${file}: there are two different anchors of entry ${sequence} of company ${companyId}`);
    hashes.set(key, hash);
  }
  return parsed.data.anchors;
}
