import { createHash } from 'node:crypto';
import {
  certificateDate, certificateInstant, certificateLength, certificateOutcomeWords, certificateStateWords, certificateTitle, competenceKindWords,
  deviceWords, forceIn, forceReasonWords, forceUnit, hexGroups, resultWords, type PublicCertificate, type SealedCertificate,
} from '@lintel/contract';
import { civilDateAt, type CertificateContent, type CertificateForceTest } from '@lintel/engine';

const STYLE = `
:root{color-scheme:light}
body{margin:0;background:#f1f6f8;color:#14232e;font:17px/1.5 system-ui,sans-serif}
main{max-width:760px;margin:0 auto;padding:20px 18px 48px}
h1{font-size:1.5rem;line-height:1.25;margin:.2em 0 .1em;overflow-wrap:anywhere}
h2{font-size:1.08rem;margin:1.6em 0 .5em}
.mark{color:#4a606e;font-weight:650;letter-spacing:.02em}
.state{display:flex;gap:14px;align-items:center;border:2px solid #14232e;background:#fff;padding:14px 16px;margin:14px 0;border-radius:3px}
.state svg{flex:none}.state strong{font-size:1.35rem;display:block}
.acted{border-color:#b93a06;background:#fdebdf}.acted strong{color:#8f2c03}
dl{display:grid;grid-template-columns:minmax(110px,max-content) 1fr;gap:5px 18px;margin:0}
dt{color:#4a606e}dd{margin:0;min-width:0;overflow-wrap:anywhere}
.wide{overflow-x:auto;background:#fff;border:1px solid #c9d7de}
table{border-collapse:collapse;width:100%;font-size:.93rem}
th,td{text-align:left;padding:6px 9px;border-bottom:1px solid #dde7ec;vertical-align:top}th{color:#4a606e;white-space:nowrap}
.code{font-family:ui-monospace,monospace;font-size:.86rem}
a{color:#1c6a80}a:focus-visible,.wide:focus-visible{outline:3px solid #1c6a80;outline-offset:2px}
@media(max-width:480px){dl{grid-template-columns:1fr;gap:0}dd{margin-bottom:7px}}
`;

/** Nothing but this very style may be loaded or run. */
export const PAGE_POLICY =
  `default-src 'none'; style-src 'sha256-${createHash('sha256').update(STYLE).digest('base64')}'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'`;

/** The public page of a certificate: plain HTML, readable without styles and without scripts. */
export function certificatePage(found: PublicCertificate, now: Date): string {
  const { word } = certificateStateWords[found.state];
  const body = found.sealed === null ? unknownBody(found) : knownBody(found, found.sealed, now);
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1"><meta name="robots" content="noindex">
<title>${word}: certificate ${html(found.number)}</title><style>${STYLE}</style></head>
<body><main><div class="mark">Lintel</div>${body}</main></body></html>
`;
}

function unknownBody({ number }: PublicCertificate): string {
  return `<h1>Certificate ${html(number)}</h1>${stateBox('unknown', '')}
<p>Compare the number with the paper, letter by letter. If it is the same, the paper was not issued here: do not rely on it.</p>`;
}

function knownBody({ state, withdrawnOn }: PublicCertificate, { content, seal }: SealedCertificate, now: Date): string {
  const { site, nextDue } = content;
  const overdue = nextDue !== null && state === 'valid' && civilDateAt(now.getTime(), site.timeZone) > nextDue.on;
  const since = withdrawnOn === null ? '' : ` Taken back on ${certificateDate(civilDateAt(Date.parse(withdrawnOn), site.timeZone))}.`;
  return `<h1>${certificateTitle[content.kind]}</h1><p class="code">${html(content.number)}</p>
${stateBox(state, since)}
${box(content.passed ? 'tick' : 'cross', `Result: ${resultWords(content.passed)}`, content.passed ? 'What was tested passed on the day of the inspection.' : 'This door did not pass. It has to be put right and tested again.')}
${overdue ? box('cross', 'Next inspection overdue', `It was due on ${certificateDate(nextDue.on)}.`) : ''}
${facts(factsOf(content))}
${deviceTable(content)}
${content.forceTests.map((test) => forceTable(test, content)).join('')}
${findings(content)}
<h2>Cautions</h2>${content.cautions.map((caution) => `<p>${html(caution)}</p>`).join('')}
<h2>Seal</h2>${facts([['SHA-256', hexGroups(seal.hash)], ['Key', hexGroups(content.keyId)]], 'code')}
<p><a href="/certificates/${html(content.number)}.json">The sealed record as a file</a>, for ‘lintel verify’. It has to say what the paper says.</p>`;
}

function factsOf(content: CertificateContent): [string, string][] {
  const { door, site, person, nextDue, company, owner } = content;
  return [
    ['Company', company.name], ['Owner', owner.name], ['Site', [site.name, site.address, site.countryCode].filter(Boolean).join(', ')],
    ['Door', door.name], ['Type', door.type], ...(door.serial === null ? [] : [['Serial number', door.serial] as [string, string]]),
    ['Clear opening', `${certificateLength(site.units, door.widthMm)} wide, ${certificateLength(site.units, door.heightMm)} high`],
    ['Inspected', certificateDate(content.inspectedOn)], ['By', person.name],
    ...person.competences.map((one): [string, string] => [
      `For ${competenceKindWords[one.kind] ?? one.kind}`, one.validUntil === null ? one.evidence : `${one.evidence}, valid until ${certificateDate(one.validUntil)}`,
    ]),
    ...(nextDue === null ? [] : [['Next due', `${certificateDate(nextDue.on)} (${nextDue.source})`] as [string, string]]),
    ['Issued', certificateInstant(content.issuedAt, site.timeZone)],
  ];
}

function deviceTable({ devices }: CertificateContent): string {
  if (devices.length === 0) return '';
  const rows = devices.map(({ position, device, outcome }) => [position, deviceWords[device], certificateOutcomeWords[outcome]]);
  return `<h2>Safety devices</h2>${table('Safety devices', ['Position', 'Device', 'Outcome'], rows)}`;
}

function forceTable({ points, outcome, limits }: CertificateForceTest, { site: { units } }: CertificateContent): string {
  const unit = forceUnit(units);
  const rows = points.map((point) => [
    `${certificateLength(units, point.heightMm)}, ${point.across}`,
    point.means === null ? '–' : String(forceIn(units, point.means.peakNewton)),
    point.limits === null ? '–' : String(forceIn(units, point.limits.peakNewton)),
    [certificateOutcomeWords[point.outcome], ...point.reasons.map((reason) => forceReasonWords[reason])].join(': '),
  ]);
  return `<h2>Closing force: ${certificateOutcomeWords[outcome]}</h2>
${table('Closing force', ['Point', `Mean peak, ${unit}`, `Limit, ${unit}`, 'Outcome'], rows)}<p>Limits: ${html(limits.table)}, version ${limits.version}.</p>`;
}

function findings({ findings: found }: CertificateContent): string {
  if (found.length === 0) return '<h2>Findings</h2><p>None.</p>';
  return `<h2>Findings</h2>${table('Findings', ['Severity', 'Where', 'What'], found.map(({ severity, position, text }) => [severity, position ?? 'door', text]))}`;
}

function stateBox(state: PublicCertificate['state'], more: string): string {
  const { word, meaning } = certificateStateWords[state];
  return box({ valid: 'tick', superseded: 'arrow', withdrawn: 'cross', unknown: 'question' }[state], word, meaning + more, state !== 'valid');
}

/** State is a shape and a word; the colour only adds to them. */
const SHAPES: Record<string, string> = {
  tick: '<path d="M6 19l8 8L30 8" fill="none" stroke="#14232e" stroke-width="5"/>',
  arrow: '<path d="M4 18h24M20 9l9 9-9 9" fill="none" stroke="#8f2c03" stroke-width="5"/>',
  cross: '<path d="M7 7l22 22M29 7L7 29" stroke="#8f2c03" stroke-width="5"/>',
  question: '<path d="M11 13c0-10 15-9 14 0 0 5-7 5-7 10M18 27v5" fill="none" stroke="#8f2c03" stroke-width="4.5"/>',
};

function box(shape: string, word: string, text: string, acted = shape !== 'tick'): string {
  return `<div class="state${acted ? ' acted' : ''}"><svg width="36" height="36" viewBox="0 0 36 36" aria-hidden="true">${SHAPES[shape]}</svg><div><strong>${html(word)}</strong>${html(text)}</div></div>`;
}

function facts(rows: readonly (readonly [string, string])[], kind = ''): string {
  return `<dl>${rows.map(([term, value]) => `<dt>${html(term)}</dt><dd class="${kind}">${html(value)}</dd>`).join('')}</dl>`;
}

function table(label: string, heads: readonly string[], rows: readonly (readonly string[])[]): string {
  return `<div class="wide" role="region" aria-label="${html(label)}" tabindex="0"><table><thead><tr>${heads.map((head) => `<th scope="col">${html(head)}</th>`).join('')}</tr></thead>
<tbody>${rows.map((cells) => `<tr>${cells.map((cell) => `<td>${html(cell)}</td>`).join('')}</tr>`).join('')}</tbody></table></div>`;
}

const entities: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };
/** A text inside an element or a quoted attribute. */
const html = (text: string): string => text.replace(/[&<>"']/g, (sign) => entities[sign]!);
