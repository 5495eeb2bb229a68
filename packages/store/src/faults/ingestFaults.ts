import { faultGiven, type FaultGiven, type FaultsTaken } from '@lintel/contract';
import type pg from 'pg';
import type { CompanyContext } from '../context.js';
import { loadDoors, type DoorsGiven } from '../duty/ingestDirectory.js';
import { beforeInstallation, insertFaults, loadFaultCodes, type PlacedFault } from './insertFaults.js';

export interface IngestFaultsOptions {
  source: 'form' | 'post' | 'wire';
  /** Milliseconds; faults from after it are refused. */
  now: number;
}

/** Clocks of controllers are not exact. */
const clockGraceMs = 600_000;

type Refused = { field: string; message: string };

/** What a batch refers to. */
interface Known {
  doors: DoorsGiven;
  /** Dates of installation by door. */
  installed: ReadonlyMap<string, string>;
  /** Ids of codes by the code in lower case. */
  codes: ReadonlyMap<string, string>;
}

/**
 * Takes a batch of faults in, in the caller's transaction of a company: those not known yet are added, those known (same door,
 * code and instant) change nothing, those that cannot be are refused by their index. Each is checked by itself, so that one
 * wrong one does not stop the others. Four statements whatever the size of the batch.
 */
export async function ingestFaults(
  client: pg.ClientBase,
  context: CompanyContext,
  given: readonly unknown[],
  options: IngestFaultsOptions,
): Promise<FaultsTaken> {
  const refused: FaultsTaken['refused'] = [];
  const sound: { index: number; fault: FaultGiven }[] = [];
  for (const [index, candidate] of given.entries()) {
    const checked = check(candidate, options.now);
    if ('message' in checked) refused.push({ index, ...checked });
    else sound.push({ index, fault: checked.fault });
  }
  const doors = await loadDoors(client, sound.map(({ fault }) => fault));
  const known = { doors, installed: await loadInstalled(client, doors.ids()), codes: await loadFaultCodes(client) };
  const placed: PlacedFault[] = [];
  for (const { index, fault } of sound) {
    const place = placeFault(known, fault);
    if ('message' in place) refused.push({ index, ...place });
    else placed.push(place);
  }
  const accepted = await insertFaults(client, context, { source: options.source, importId: null }, placed);
  refused.sort((a, b) => a.index - b.index);
  return { accepted, unchanged: placed.length - accepted, refused };
}

function check(candidate: unknown, now: number): Refused | { fault: FaultGiven } {
  const parsed = faultGiven.safeParse(candidate);
  if (!parsed.success) {
    const issue = parsed.error.issues[0]!;
    const unknownKey = issue.code === 'unrecognized_keys' ? issue.keys[0] : undefined;
    return { field: unknownKey ?? issue.path.join('.'), message: unknownKey === undefined ? issue.message : 'is not known here' };
  }
  const fault = parsed.data;
  if ((fault.doorId === undefined) === (fault.serial === undefined)) {
    return { field: 'doorId', message: 'the door is named by doorId or by serial, by one of them' };
  }
  if (Date.parse(fault.at) > now + clockGraceMs) return { field: 'at', message: 'lies in the future' };
  // PostgreSQL cannot keep the character 0.
  if (fault.note?.includes('\u0000')) return { field: 'note', message: 'holds the character 0' };
  return { fault };
}

function placeFault({ doors, installed, codes }: Known, fault: FaultGiven): Refused | PlacedFault {
  const doorId = doors.idOf(fault);
  if (typeof doorId !== 'string') return doorId;
  const faultCodeId = codes.get(fault.code.toLowerCase());
  if (faultCodeId === undefined) return { field: 'code', message: `the fault catalogue has no code '${fault.code}'` };
  const at = Date.parse(fault.at);
  if (beforeInstallation(installed.get(doorId)!, at)) {
    return { field: 'at', message: `this door was installed on ${installed.get(doorId)!}` };
  }
  return { doorId, faultCodeId, at, lifetimeCycles: fault.lifetimeCycles ?? null, note: fault.note || null };
}

async function loadInstalled(client: pg.ClientBase, doorIds: readonly string[]): Promise<Map<string, string>> {
  const { rows } = await client.query<{ id: string; installed_on: string }>({
    name: 'ingest_installed',
    text: 'SELECT id, installed_on::text FROM door WHERE id = ANY ($1::uuid[])',
    values: [doorIds],
  });
  return new Map(rows.map((row) => [row.id, row.installed_on]));
}
