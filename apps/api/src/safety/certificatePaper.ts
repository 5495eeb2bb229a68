import {
  certificateDate, certificateFileText, certificateForce, certificateInstant, certificateLength, certificateOutcomeWords, certificateTitle,
  competenceKindWords, deviceWords, forceReasonWords, forceUnit, forceIn, hexGroups, resultWords, sourceStatusText, type SealedCertificate,
} from '@lintel/contract';
import type { CertificateCheck, CertificateContent, CertificateForcePoint, CertificateForceTest } from '@lintel/engine';
import { Paper, drawCode } from '../platform/pdf/index.js';
import { drawCurves } from './certificatePlot.js';

/** The name under which the sealed content lies in the file. */
export const attachmentName = (number: string): string => `certificate-${number}.json`;

const RESULT_HEIGHT = 104;
const CODE = 96;

/**
 * A certificate on paper (PDF, A4): all that its content says, in the site's units, with a code that leads to its public page; the
 * sealed content lies in the file as an attachment, so that the file by itself can be verified.
 * @param publicAddress where anybody can look it up.
 */
export async function certificatePaper(sealed: SealedCertificate, publicAddress: string): Promise<Buffer> {
  const { content, seal } = sealed;
  const paper = new Paper({
    head: { title: certificateTitle[content.kind], lines: [`${content.company.name} · number ${content.number}`] },
    foot: `Number ${content.number}, SHA-256 ${seal.hash.slice(0, 16)}…\nVerify: ${publicAddress}`,
    at: new Date(content.issuedAt),
  });
  attach(paper, sealed);
  drawResult(paper, content, publicAddress);
  writeFacts(paper, content);
  writeFindings(paper, content);
  const sources = new Map(content.sources.map(({ source }, index) => [source, index + 1]));
  writeDevices(paper, content, sources);
  writeChecks(paper, content, sources);
  for (const test of content.forceTests) writeForces(paper, content, test);
  writeEvidence(paper, content);
  writeSources(paper, content);
  writeSeal(paper, sealed, publicAddress);
  return paper.finish();
}

/** The types of the library lack what it can do with attachments of its own making. */
function attach(paper: Paper, sealed: SealedCertificate): void {
  const { number, issuedAt } = sealed.content;
  const at = new Date(issuedAt);
  paper.doc.file(Buffer.from(certificateFileText(sealed)), {
    name: attachmentName(number), type: 'application/json', description: 'The sealed certificate', creationDate: at, modifiedDate: at,
  });
}

function drawResult(paper: Paper, content: CertificateContent, publicAddress: string): void {
  const y = paper.reserve(RESULT_HEIGHT);
  const { left, width, doc } = paper;
  const colour = content.passed ? '#14232e' : '#8f2c03';
  doc.rect(left, y, width, RESULT_HEIGHT).lineWidth(content.passed ? 1 : 2.5).strokeColor(colour).stroke();
  // A tick and a cross are told apart without colour; the word says it all the same.
  doc.lineWidth(5).strokeColor(colour);
  if (content.passed) doc.moveTo(left + 18, y + 36).lineTo(left + 27, y + 46).lineTo(left + 44, y + 22).stroke();
  else doc.moveTo(left + 20, y + 22).lineTo(left + 42, y + 46).moveTo(left + 42, y + 22).lineTo(left + 20, y + 46).stroke();
  paper.line(resultWords(content.passed).toUpperCase(), left + 58, y + 20, { bold: true, size: 22, colour });
  const next = content.nextDue === null ? (content.passed ? 'Next inspection: not scheduled' : 'To be put right and tested again') : `Next inspection due ${certificateDate(content.nextDue.on)}`;
  const lines = [`Door ${content.door.name}, ${content.site.name}`, `Inspected ${certificateDate(content.inspectedOn)} by ${content.person.name}`, next];
  const room = width - CODE - 40;
  for (const [index, line] of lines.entries()) {
    paper.line(shortened(line, room, (text) => paper.widthOf(text, { size: 10.5 })), left + 18, y + 54 + index * 15, { size: 10.5, bold: index === 2 });
  }
  drawCode(doc, publicAddress, { x: left + width - CODE - 4, y: y + (RESULT_HEIGHT - CODE) / 2, size: CODE });
  paper.y = y + RESULT_HEIGHT + 10;
}

/** A line that has to fit; the whole of it stands among the facts. */
function shortened(text: string, room: number, widthOf: (text: string) => number): string {
  if (widthOf(text) <= room) return text;
  let end = text.length;
  while (end > 0 && widthOf(`${text.slice(0, end)}…`) > room) end -= 1;
  return `${text.slice(0, end)}…`;
}

function writeFacts(paper: Paper, content: CertificateContent): void {
  const { door, site, owner, company, person, nextDue } = content;
  const { units, timeZone } = site;
  if (!content.passed) {
    paper.note('Not passed', 'What was found is below. The door is put right and tested again by a competent person; whether it may be used until then, local rules say.', 'warning');
  }
  paper.facts([
    ['Company', company.name], ['Owner', owner.name],
    ['Site', [site.name, site.address, site.countryCode].filter(Boolean).join(', ')], ['Door', door.name],
    ['Type', `${door.type} (${door.kind} door)`], ['Serial number', door.serial ?? ''],
    ['Clear opening', `${certificateLength(units, door.widthMm)} wide, ${certificateLength(units, door.heightMm)} high`], ['Work order', `${content.workOrder}: ${content.title}`],
    ['Completed', certificateInstant(content.completedAt, timeZone)], ['Issued', certificateInstant(content.issuedAt, timeZone)],
  ]);
  paper.heading('Competent person');
  paper.facts([
    ['Name', person.name],
    ...(person.competences.length === 0
      ? [['Competence', 'none recorded for the day of the inspection'] as const]
      : person.competences.map((one) => [
          `For ${competenceKindWords[one.kind] ?? one.kind}`,
          `${one.evidence}, ${one.issuer}; ${one.validUntil === null ? `since ${certificateDate(one.validFrom)}` : `valid until ${certificateDate(one.validUntil)}`}`,
        ] as const)),
    ...(nextDue ? [['Next due', `${certificateDate(nextDue.on)}: ${nextDue.months} months after this inspection (${nextDue.source})${nextDue.source.includes('confirm') ? '' : '; confirm against local rules'}`] as const] : []),
  ], 1);
}

function writeFindings(paper: Paper, { findings, site }: CertificateContent): void {
  paper.heading('Findings');
  if (findings.length === 0) paper.text('None.');
  else {
    paper.table(
      [{ label: 'Severity', share: 1 }, { label: 'Where', share: 2 }, { label: 'What', share: 6 }, { label: 'Found', share: 2.2 }],
      findings.map(({ severity, text, position, foundAt }) => ({
        cells: [severity, position ?? 'door', text, certificateInstant(foundAt, site.timeZone)], marked: severity === 'unsafe',
      })),
    );
  }
}

const checkColumns = [
  { label: 'Test', share: 3.6 }, { label: 'Has to happen', share: 3.4 }, { label: 'Source', share: 0.8 }, { label: 'Outcome', share: 1.1 }, { label: 'Remark', share: 2.2 },
];

function checkRow(check: CertificateCheck, sources: ReadonlyMap<string, number>) {
  const { test, criterion, source, outcome, value, remark } = check;
  return {
    cells: [test, criterion ?? '–', source === null ? '–' : `[${sources.get(source)}]`, value === null ? certificateOutcomeWords[outcome] : `${certificateOutcomeWords[outcome]}: ${value}`, remark ?? ''],
    marked: outcome === 'failed',
  };
}

function writeDevices(paper: Paper, { devices }: CertificateContent, sources: ReadonlyMap<string, number>): void {
  paper.heading('Safety devices');
  if (devices.length === 0) paper.text('None was tested by function.');
  for (const device of devices) {
    paper.reserve(70);
    paper.text(`${device.position} (${deviceWords[device.device]}): ${certificateOutcomeWords[device.outcome]}`, { bold: true });
    paper.table(checkColumns, device.checks.map((check) => checkRow(check, sources)));
  }
}

function writeChecks(paper: Paper, { checks }: CertificateContent, sources: ReadonlyMap<string, number>): void {
  if (checks.length === 0) return;
  paper.heading('Other checks');
  paper.table(checkColumns, checks.map((check) => checkRow(check, sources)));
}

function writeForces(paper: Paper, { site: { units } }: CertificateContent, test: CertificateForceTest): void {
  const { instrument, gauge, limits } = test;
  paper.heading(`Closing force: ${certificateOutcomeWords[test.outcome]}`);
  const calibration = instrument?.calibration;
  paper.facts([
    ['Instrument', instrument ? [instrument.name, instrument.maker, instrument.model].filter(Boolean).join(', ') : 'not named'],
    ['Serial number', instrument?.serial ?? ''],
    ['Calibrated', calibration ? `${certificateDate(calibration.on)}, ${calibration.laboratory}` : gauge.calibratedOn ? certificateDate(gauge.calibratedOn) : 'not known'],
    ['Certificate', calibration?.certificate ?? ''],
    ['Used on', certificateDate(test.usedOn)],
    ['Limits', `${limits.table}, version ${limits.version} of the company’s table`],
  ]);
  if (test.remark !== null) paper.text(test.remark);
  const unit = forceUnit(units);
  paper.table(
    [
      { label: `Height over the floor${units === 'us' ? ', in' : ', mm'}`, share: 1.5, align: 'right' }, { label: 'Across', share: 1.1 }, { label: 'Taken', share: 1, align: 'right' },
      { label: `Peak, ${unit}`, share: 1.7, align: 'right' }, { label: 'Dynamic, ms', share: 1.6, align: 'right' },
      { label: `Static, ${unit}`, share: 1.6, align: 'right' }, { label: `Residual, ${unit}`, share: 1.6, align: 'right' }, { label: 'Outcome', share: 2.2 },
    ],
    test.points.map((point) => ({ cells: pointCells(point, units), marked: point.outcome === 'failed' })),
  );
  paper.text('Each figure is the mean of the readings at its point, then its limit.', { small: true });
  drawCurves(paper, test, units);
}

function pointCells(point: CertificateForcePoint, units: 'metric' | 'us'): string[] {
  const { means, limits, heightMm, across, readings, outcome, reasons } = point;
  const force = (figure: 'peakNewton' | 'staticNewton' | 'residualNewton'): string =>
    means && limits ? `${forceIn(units, means[figure])} / ${forceIn(units, limits[figure])}` : '–';
  const words = [certificateOutcomeWords[outcome], ...reasons.map((reason) => forceReasonWords[reason])].join(': ');
  return [
    String(units === 'us' ? Number((heightMm / 25.4).toFixed(1)) : heightMm), across, String(readings), force('peakNewton'),
    means && limits ? `${Math.round(means.dynamicMs)} / ${limits.dynamicMs}` : '–', force('staticNewton'), force('residualNewton'), words,
  ];
}

function writeEvidence(paper: Paper, { images, signatures, site }: CertificateContent): void {
  if (signatures.length > 0) {
    paper.heading('Signatures');
    paper.table(
      [{ label: 'Name', share: 2 }, { label: 'Time', share: 2 }, { label: 'SHA-256 of the picture', share: 4.4 }],
      signatures.map(({ name, at, imageSha256 }) => ({ cells: [name, certificateInstant(at, site.timeZone), imageSha256] })),
    );
  }
  const photos = images.filter(({ kind }) => kind === 'photo');
  if (photos.length === 0) return;
  paper.heading('Photographs');
  paper.table(
    [{ label: 'Of', share: 2 }, { label: 'Taken', share: 2 }, { label: 'SHA-256 of the picture', share: 4.4 }],
    photos.map(({ step, takenAt, sha256 }) => ({
      cells: [step ?? 'door', takenAt === null ? '–' : certificateInstant(takenAt, site.timeZone), sha256 ?? 'had not come in when this was issued'],
    })),
  );
}

function writeSources(paper: Paper, content: CertificateContent): void {
  paper.heading('Cautions');
  for (const caution of content.cautions) paper.text(caution);
  const limits = new Set(content.forceTests.flatMap((test) => test.limits.rows.map(({ source }) => source)));
  if (content.sources.length === 0) return;
  paper.heading('Sources');
  for (const [index, { source, status }] of content.sources.entries()) {
    const about = [...(limits.has(source) ? ['limits of the closing force'] : []), ...(status === null ? [] : [sourceStatusText[status]])];
    paper.text(`[${index + 1}] ${source}${about.length === 0 ? '' : ` – ${about.join('; ')}`}`);
  }
  for (const test of content.forceTests) {
    const rows = test.limits.rows.map(({ id, value, unit }) => `${id} ${unit === 'N' ? certificateForce(content.site.units, value) : `${value} ${unit}`}`);
    paper.text(`Limits used: ${rows.join(', ')}.`, { small: true });
  }
}

function writeSeal(paper: Paper, { content, seal }: SealedCertificate, publicAddress: string): void {
  paper.heading('Seal');
  paper.facts([
    ['SHA-256', hexGroups(seal.hash)], ['Signed with', `Ed25519, key ${hexGroups(content.keyId)}`], ['Signature', seal.signature], ['Look it up at', publicAddress],
  ], 1);
  paper.text(
    `The sealed content is attached to this file (${attachmentName(content.number)}). ‘lintel verify’ checks it without a network. The seal covers the attachment: what is printed has to say the same.`,
    { small: true },
  );
}
