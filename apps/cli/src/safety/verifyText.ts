import { certificateDate, hexGroups, resultWords } from '@lintel/contract';
import type { CertificateCheckResult, CertificateFault } from '@lintel/store';

export interface Verified {
  result: CertificateCheckResult;
  /** Chief facts that the pages do not say as the sealed record does. */
  printed: readonly string[];
  paper: boolean;
}

const sentences: Record<CertificateFault, string> = {
  'not-json': 'it is not JSON',
  'not-a-certificate': 'it is not a sealed certificate of a form that this program knows',
  'not-as-issued': 'its bytes are not those that were issued: something was written anew, or stands there twice',
  'hash-differs': 'the content is not the one that was hashed: it was changed',
  'key-unusable': 'the enclosed key is not an Ed25519 public key as it was issued',
  'key-differs': 'the enclosed key is not the one that the content names',
  'signature-wrong': 'content and signature do not belong together',
  'other-key': 'it is signed by another key than the one given',
};

/** The answer in the words of the command; `keyGiven`: whether the key was the asker's own. */
export function verifyJson({ result: { faults, fingerprint, certificate }, printed }: Verified, keyGiven: boolean) {
  const content = certificate?.content;
  return {
    genuine: faults.length === 0 && printed.length === 0,
    faults: faults.map((code) => ({ code, text: sentences[code] })),
    printedFaults: printed,
    keyFingerprint: fingerprint,
    keyGiven,
    certificate: content === undefined ? null : {
      number: content.number, kind: content.kind, passed: content.passed, company: content.company.name, site: content.site.name, door: content.door.name,
      inspectedOn: content.inspectedOn, person: content.person.name, nextDueOn: content.nextDue?.on ?? null,
    },
  };
}

/** The answer for reading. */
export function verifyText(verified: Verified, keyGiven: boolean): string {
  const { result: { faults, fingerprint, certificate }, printed, paper } = verified;
  const lines = [
    faults.length === 0 && printed.length === 0 ? 'genuine: as it was sealed' : 'NOT GENUINE: do not rely on it',
    ...faults.map((code) => `  ${sentences[code]}`),
    ...printed.map((fact) => `  what is printed is not what is sealed: ${fact}`),
  ];
  if (certificate !== null && faults.length === 0) lines.push(...factLines(certificate.content));
  if (fingerprint !== null) {
    lines.push(`  key       ${hexGroups(fingerprint)}`);
    lines.push(keyGiven && !faults.includes('other-key') ? '            the key that was given' : '            the enclosed key: compare it with the one that the company publishes');
  }
  if (paper && faults.length === 0) lines.push('  The seal covers the record inside the file. Its chief facts were compared with the printed text; pictures were not.');
  return `${lines.map(printable).join('\n')}\n`;
}

function factLines(content: NonNullable<CertificateCheckResult['certificate']>['content']): string[] {
  const { number, kind, passed, company, site, door, inspectedOn, person, nextDue } = content;
  return [
    `  number    ${number} (${kind})`,
    `  result    ${passed ? resultWords(passed) : resultWords(passed).toUpperCase()}`,
    `  door      ${door.name}, ${site.name}`,
    `  inspected ${certificateDate(inspectedOn)} by ${person.name}, ${company.name}`,
    `  next due  ${nextDue === null ? 'not said' : certificateDate(nextDue.on)}`,
  ];
}

/** Nothing of a file may steer the terminal. */
const printable = (line: string): string => line.replace(/\p{Cc}/gu, '?');
