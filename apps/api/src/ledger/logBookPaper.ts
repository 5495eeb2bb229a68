import { logBookDefect, logBookText, logBookWords, type LogBook, type LogBookEntry } from '@lintel/contract';
import { Paper } from '../platform/pdf/index.js';

const NOTE = 'Made from what was recorded with Lintel. Its contents follow EN 12635 as far as it is kept here; local codes and the '
  + 'manufacturer’s manual come first. Papers from before belong beside it. It does not make a door safe and does not replace a competent person.';

/** The log book in print: the door on every page, its data, then every entry in the order of time. */
export async function logBookPaper(book: LogBook, at: Date): Promise<Buffer> {
  const { door } = book;
  const printed = `${at.toISOString().slice(0, 16).replace('T', ' ')} UTC`;
  const paper = new Paper({
    head: {
      title: `Log book of door ${door.name}`,
      lines: [[door.siteName, book.address, book.countryCode].filter(Boolean).join(', '), `Serial ${door.serial ?? 'not given'} · owner ${door.ownerName} · kept by ${book.companyName}`],
    },
    foot: `Printed ${printed} from Lintel. Days are those of ${door.timeZone}.`,
    landscape: true,
    at,
  });
  paper.heading('The door').facts(facts(book), 2);
  if (door.state !== 'in-service') paper.note(`State: ${door.state.replaceAll('-', ' ')}`, door.stateReason ?? '', 'warning');
  paper.note('About this log book', NOTE);
  paper.heading('Fitted now').table(
    [{ label: 'Position', share: 4 }, { label: 'Safety device', share: 2 }, { label: 'Serial', share: 3 }, { label: 'Since', share: 2 }],
    book.fitted.map(({ position, safetyDevice, serial, fittedOn }) => ({ cells: [position, safetyDevice ? 'yes' : '', serial ?? '', fittedOn] })),
  );
  paper.heading('Entries');
  if (book.leftOut > 0) paper.note('Not complete', `${book.leftOut} older entries are left out: the CSV file of this log book has them all.`, 'warning');
  await paper.longTable(
    [{ label: 'Day', share: 1.25 }, { label: 'Kind', share: 1.6 }, { label: 'What', share: 5.4 }, { label: 'Defect and remedy', share: 3.6 }, { label: 'Cycles', share: 1.2, align: 'right' }, { label: 'Person', share: 1.9 }, { label: 'Order', share: 0.8, align: 'right' }],
    book.entries.map((entry) => ({ cells: cellsOf(entry), marked: entry.passed === false || entry.severity === 'unsafe' || entry.kind === 'overdue' })),
  );
  return paper.finish();
}

const cellsOf = (entry: LogBookEntry): string[] => [
  entry.on, logBookWords[entry.kind], logBookText(entry), logBookDefect(entry), entry.cycles === null ? '' : String(entry.cycles), entry.person ?? 'not recorded',
  entry.orderNumber === null ? '' : String(entry.orderNumber),
];

function facts({ door, supplyVolts, doorTypeNotes }: LogBook): [string, string][] {
  const facts: [string, string | null][] = [
    ['Name', door.name],
    ['Serial', door.serial ?? 'not given'],
    ['Maker', door.maker ?? 'not given: see the door’s plate'],
    ['Installed by', door.installer ?? 'not given: see the door’s papers'],
    ['Type', door.doorTypeName],
    ['Kind', `${door.kind}${door.heated ? ', heated frame' : ''}`],
    ['Clear size', `${door.widthMm} × ${door.heightMm} mm (width × height)`],
    ['Supply of the drive', `${supplyVolts} V`],
    ['Between', [door.fromZoneName, door.toZoneName].map((zone) => zone ?? 'not given').join(' and ')],
    ['Installed on', door.installedOn],
    ['State', `${door.state.replaceAll('-', ' ')} since ${door.stateSince.slice(0, 10)}`],
    ['Cycles so far', door.lifetimeCycles === null ? 'not known' : `about ${door.lifetimeCycles}`],
    ['Notes on the door', door.notes],
    ['Notes on the type', doorTypeNotes],
  ];
  return facts.filter((fact): fact is [string, string] => fact[1] !== null);
}
