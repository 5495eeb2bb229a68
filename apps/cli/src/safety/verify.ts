import { readFile } from 'node:fs/promises';
import { checkCertificate, publicKeyOf, type CertificateCheckResult } from '@lintel/store';
import { Command } from 'commander';
import { FailureError, InputError } from '../inputError.js';
import { unreadable } from '../options.js';
import { isPdf, readPaper } from './readPaper.js';
import { printedFaults } from './printedFaults.js';
import { verifyJson, verifyText, type Verified } from './verifyText.js';

/** `lintel verify CERT.pdf|CERT.json [--key PUBLIC.pem] [--json]`: without a network and without a database. */
export function verifyCommand(): Command {
  return new Command('verify')
    .description('is a certificate as it was sealed, and by which key? Needs no network and no database')
    .argument('<file>', 'the certificate as PDF or JSON, or a bundle with one a line')
    .option('--key <PUBLIC.pem>', 'the key that it ought to be signed by; without it the enclosed one is named')
    .option('--json', 'print the answer as JSON')
    .addHelpText('after', '\nExit code 0: all fit; 1: something does not; 2: the file or the key cannot be read.' +
      '\nWhether a certificate was superseded or withdrawn since, its public page says.\n\nExample:\n  npx lintel verify certificate.pdf --key company.pem')
    .action(async (file: string, options: { key?: string; json?: true }) => {
      const key = options.key === undefined ? null : await readKey(options.key);
      const found = await verified(file, key);
      const given = key !== null;
      process.stdout.write(options.json ? `${JSON.stringify(found.map((one) => verifyJson(one, given)))}\n` : found.map((one) => verifyText(one, given)).join('\n'));
      const wrong = found.filter(({ result, printed }) => result.faults.length > 0 || printed.length > 0).length;
      if (wrong > 0) throw new FailureError(`${file}: ${found.length === 1 ? 'does not hold' : `${wrong} of ${found.length} do not hold`}`);
    });
}

type Key = NonNullable<ReturnType<typeof publicKeyOf>>;

async function verified(file: string, key: Key | null): Promise<Verified[]> {
  const bytes = await read(file);
  if (!isPdf(bytes)) return sealedTexts(bytes.toString('utf8')).map((text) => ({ result: checkCertificate(text, key), printed: [], paper: false }));
  const { attached, text } = await readPaper(file, bytes);
  if (attached === null) throw new InputError(`${file}: holds no sealed certificate: it is another PDF, or its attachment was taken out`);
  const result: CertificateCheckResult = checkCertificate(attached, key);
  return [{ result, printed: result.certificate === null ? [] : printedFaults(result.certificate.content, text), paper: true }];
}

/** A file is one certificate, or a bundle with one a line. */
function sealedTexts(content: string): string[] {
  const lines = content.split('\n').filter((line) => line.trim() !== '');
  return lines.length > 1 && lines.every((line) => line.startsWith('{"content":')) ? lines : [content];
}

async function read(file: string): Promise<Buffer> {
  try {
    return await readFile(file);
  } catch (error) {
    throw unreadable(file, error);
  }
}

async function readKey(file: string): Promise<Key> {
  const key = publicKeyOf((await read(file)).toString('utf8'));
  if (key === null) throw new InputError(`--key: ${file} holds no Ed25519 public key (PEM)`);
  return key;
}
