import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { CompanyContext } from '@lintel/store';
import { makeSmallFleet, type SmallFleet } from '../support/fleet.js';
import { bringIn } from '../support/importFile.js';
import { openTestDatabase, type TestDatabase } from '../support/testDatabase.js';

let database: TestDatabase;
let context: CompanyContext;
let fleet: SmallFleet;

beforeAll(async () => {
  database = await openTestDatabase();
});
afterAll(() => database.drop());

beforeEach(async () => {
  context = await database.newCompany(`Company ${Math.random()}`);
  fleet = await makeSmallFleet(database.store, context);
});

const rows = async <Row>(sql: string): Promise<Row[]> => (await database.owner.query(sql, [context.companyId])).rows as Row[];
const refusals = () =>
  rows<{ line: number; field: string; reason: string }>('SELECT line, field, reason FROM import_refusal WHERE company_id = $1 ORDER BY line');
const bring = async (kind: 'doors' | 'parts', lines: string[]) =>
  (await bringIn(database.store, context, kind, lines.join('\n'))).result;

describe('doors from a file', () => {
  const header = 'site,name,type,serial,installed,width,height,modulus';

  it('adds doors with their counters, refuses what it cannot place, and changes nothing the second time', async () => {
    const lines = [
      header,
      'Site,F-02,Freezer type,SN-2,2025-06-01,,,1000000',
      'Site,F-03,Freezer type,SN-3,2025-06-01,2400,2600,',
      'Nowhere,F-04,Freezer type,SN-4,2025-06-01,,,',
      'Site,F-05,No such type,SN-5,2025-06-01,,,',
      'Site,F-06,Freezer type,SN-2,2025-06-01,,,',
      'Site,F-07,Freezer type,SN-7,,,,',
      'Site,F-08,Freezer type,SN-8,2025-06-01,12,,',
      'Site,,Freezer type,SN-9,2025-06-01,,,',
    ];
    expect(await bring('doors', lines)).toMatchObject({ state: 'done', lines: 8, accepted: 2, unchanged: 0, refused: 6 });
    expect((await refusals()).map(({ line, field }) => [line, field])).toEqual([
      [4, 'site'], [5, 'doorType'], [6, 'serial'], [7, 'installedOn'], [8, 'widthMm'], [9, 'name'],
    ]);
    expect(await rows(`SELECT d.name, d.serial, d.width_mm, d.height_mm, c.modulus, c.fitted_at FROM door d JOIN counter c
      ON c.door_id = d.id WHERE d.company_id = $1 AND d.name <> 'F-01' ORDER BY d.name`)).toEqual([
      // The type's own size; the counter from the beginning of the day in Oslo (summer time).
      { name: 'F-02', serial: 'SN-2', width_mm: 3000, height_mm: 3500, modulus: '1000000', fitted_at: new Date('2025-05-31T22:00:00Z') },
      { name: 'F-03', serial: 'SN-3', width_mm: 2400, height_mm: 2600, modulus: null, fitted_at: new Date('2025-05-31T22:00:00Z') },
    ]);
    expect(await rows(`SELECT d.name, p.kind, f.fitted_at, f.fitted_cycles FROM fitted_part f JOIN door d ON d.id = f.door_id
      JOIN position p ON p.id = f.position_id WHERE f.company_id = $1 AND d.name = 'F-02' ORDER BY p.kind`)).toEqual(
      ['drive-chain', 'light-beam'].map((kind) => ({ name: 'F-02', kind, fitted_at: new Date('2025-05-31T22:00:00Z'), fitted_cycles: '0' })),
    );
    expect(await bring('doors', lines)).toMatchObject({ accepted: 0, unchanged: 2, refused: 6 });
    expect(await rows('SELECT 1 FROM door WHERE company_id = $1')).toHaveLength(3);
  });

  it('takes over what a file says of a door that is known, and no more', async () => {
    const result = await bring('doors', [header, 'site,f-01,,SN-1,,2500,,']);
    expect(result).toMatchObject({ accepted: 1 });
    expect(await rows('SELECT name, serial, width_mm, height_mm, version FROM door WHERE company_id = $1')).toEqual([
      { name: 'F-01', serial: 'SN-1', width_mm: 2500, height_mm: 3500, version: 2 },
    ]);
  });

  it('takes maker and installer, keeps what an empty cell does not say, and refuses what the form would', async () => {
    const columns = 'Site,Door,Type,Installed,Manufacturer,Installed by';
    const first = await bring('doors', [columns, 'Site,F-02,Freezer type,2025-06-01,Invented Doors,A crew', 'Site,F-03,Freezer type,2025-06-01,,', `Site,F-04,Freezer type,2025-06-01,${'x'.repeat(301)},`]);
    expect(first).toMatchObject({ accepted: 2, refused: 1 });
    expect(await refusals()).toEqual([{ line: 4, field: 'maker', reason: 'is longer than 300 characters' }]);
    expect(await bring('doors', [columns, 'Site,F-02,,,,Another crew', 'Site,F-03,,,Invented Doors,'])).toMatchObject({ accepted: 2, refused: 0 });
    expect(await rows(`SELECT name, maker, installer FROM door WHERE company_id = $1 AND name <> 'F-01' ORDER BY name`)).toEqual([
      { name: 'F-02', maker: 'Invented Doors', installer: 'Another crew' },
      { name: 'F-03', maker: 'Invented Doors', installer: null },
    ]);
  });

  it('starts the parts of a used door at its cycles', async () => {
    const result = await bring('doors', ['site,name,type,installed,start cycles', 'Site,F-02,Freezer type,2025-06-01,120 000']);
    expect(result).toMatchObject({ accepted: 1 });
    expect(await rows(`SELECT DISTINCT f.fitted_cycles, c.start_cycles FROM fitted_part f JOIN counter c ON c.door_id = f.door_id
      JOIN door d ON d.id = f.door_id WHERE f.company_id = $1 AND d.name = 'F-02'`)).toEqual([{ fitted_cycles: '120000', start_cycles: '120000' }]);
  });

  it('takes a line that repeats a new door for that door', async () => {
    const result = await bring('doors', [header, 'Site,F-02,Freezer type,SN-2,2025-06-01,,,', 'Site,F-02,Freezer type,SN-2,2025-06-01,,,']);
    expect(result).toMatchObject({ accepted: 1, unchanged: 1, refused: 0 });
    expect(await rows('SELECT 1 FROM counter WHERE company_id = $1')).toHaveLength(2);
  });
});

describe('parts from a file', () => {
  const header = 'site,door,position,part serial,fitted at,removed at,cycles at removal,reason';
  const parts = () =>
    rows<Record<string, unknown>>(`SELECT p.kind, f.serial, f.fitted_at, f.removed_at, f.removed_cycles, f.removal_reason FROM fitted_part f
      JOIN position p ON p.id = f.position_id WHERE f.company_id = $1 ORDER BY f.fitted_at, p.kind`);

  it('brings a history in: removals of known parts, successors, refusals of what cannot be', async () => {
    const lines = [
      header,
      // The chain that the fleet has, fitted 2024-01-15T00:00Z on the door's first day.
      'Site,F-01,Drive chain,CH-1,2024-01-15T00:00:00Z,2025-03-01 08:00,210000,failed',
      'Site,F-01,drive-chain,CH-2,2025-03-01 08:00,,,',
      'Site,F-01,Drive chain,CH-3,2025-04-01 08:00,,,',
      'Site,F-01,light beam,LB-1,2024-01-15 00:00,,,',
      'Site,F-01,Frame fans,FF-1,2024-01-15 00:00,,,',
      'Site,F-01,light beam,LB-2,2023-01-15 00:00,2024-01-01 00:00,,mislaid',
      'Site,F-01,light beam,LB-2,2023-01-15 00:00,2022-01-01 00:00,,worn',
      'Site,F-09,light beam,LB-2,2023-01-15 00:00,,,',
    ];
    expect(await bring('parts', lines)).toMatchObject({ state: 'done', lines: 8, accepted: 3, refused: 5 });
    expect((await refusals()).map(({ line, field }) => [line, field])).toEqual([
      [4, 'fittedAt'], [6, 'position'], [7, 'removalReason'], [8, 'removedAt'], [9, 'door'],
    ]);
    expect(await parts()).toEqual([
      { kind: 'light-beam', serial: 'LB-1', fitted_at: new Date('2024-01-14T23:00:00Z'), removed_at: null, removed_cycles: null, removal_reason: null },
      { kind: 'drive-chain', serial: 'CH-1', fitted_at: new Date('2024-01-15T00:00:00Z'), removed_at: new Date('2025-03-01T07:00:00Z'), removed_cycles: '210000', removal_reason: 'failed' },
      { kind: 'drive-chain', serial: 'CH-2', fitted_at: new Date('2025-03-01T07:00:00Z'), removed_at: null, removed_cycles: null, removal_reason: null },
    ]);
    const before = await parts();
    expect(await bring('parts', lines)).toMatchObject({ accepted: 0, unchanged: 3, refused: 5 });
    expect(await parts()).toEqual(before);
  });

  it('lets a part that was only presumed there give way to one that the file names', async () => {
    expect(await bring('parts', [header, 'Site,F-01,Drive chain,CH-2,2025-03-01T08:00:00Z,,,'])).toMatchObject({ accepted: 1, refused: 0 });
    expect(await parts()).toMatchObject([
      { serial: null, removed_at: new Date('2024-01-15T00:00:00Z'), removal_reason: 'entered_in_error' },
      { serial: 'CH-2', removed_at: null },
    ]);
    expect(await bring('parts', [header, 'Site,F-01,Drive chain,CH-3,2025-04-01T08:00:00Z,,,'])).toMatchObject({ accepted: 0, refused: 1 });
  });

  it('never changes what was known of a part', async () => {
    await bring('parts', [header, 'Site,F-01,Drive chain,CH-1,2024-01-15T00:00:00Z,,,']);
    const result = await bring('parts', [header, 'Site,F-01,Drive chain,CH-9,2024-01-15T00:00:00Z,,,']);
    expect(result).toMatchObject({ accepted: 0, refused: 1 });
    expect(await refusals()).toMatchObject([{ field: 'serial', reason: expect.stringContaining('CH-1') }]);
    expect(await rows(`SELECT serial FROM fitted_part WHERE company_id = $1`)).toEqual([{ serial: 'CH-1' }]);
  });

  it('asks for the doors to be projected anew', async () => {
    await bring('parts', [header, 'Site,F-01,light beam,LB-1,2024-01-15 00:00,,,']);
    expect(await rows(`SELECT job, payload FROM outbox WHERE company_id = $1 AND job LIKE 'project-%'`)).toEqual([{ job: 'project-door', payload: { doorId: fleet.doorId } }]);
  });
});
