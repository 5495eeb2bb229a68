import { newId, type CompanyContext, type CompanyDb } from '../context.js';

/** Invented for the demo; what hangs in a real cabinet comes from the door's maker. */
const manuals = [
  {
    title: 'Before work in the opening',
    body: [
      'Local codes, the maker’s manual and licensed trades come first. Only a licensed electrician works on the supply side.',
      'Close off the opening on both sides. Shut down, isolate, lock and tag. Secure the panel against falling; relieve stored energy.',
      'Prove dead with a tester that was proved before and after. A frequency converter holds charge: wait as its plate says.',
      'In a freezer: metal at −25 °C takes the skin off. Ice falls from the frame when it is warmed.',
    ].join('\n\n'),
  },
  {
    title: 'Opening the door without power',
    body: [
      'Isolate and lock first. Nobody under the panel.',
      'Take off the cover of the drive; put the hand crank on the shaft end; release the brake only with the crank held.',
      'Turn until the panel stands where it is wanted, set the brake, secure the panel. Take the crank off before power comes back.',
    ].join('\n\n'),
  },
] as const;

/** Texts that a technician of the demo reads without a signal, for each of its door types. */
export async function addDemoManuals(db: CompanyDb, { companyId }: CompanyContext, typeIds: readonly string[]): Promise<void> {
  await db.manual.createMany({
    data: typeIds.flatMap((doorTypeId) => manuals.map((manual) => ({ companyId, id: newId(), doorTypeId, source: 'Invented for the demo', ...manual }))),
  });
}
