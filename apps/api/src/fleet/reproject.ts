import { enqueue, type CompanyContext, type CompanyDb } from '@lintel/store';

/** Several changes within so many seconds are projected once. */
export const debounceSeconds = 5;

/** Asks for a new projection of one door. */
export async function reprojectDoor(db: CompanyDb, context: CompanyContext, doorId: string): Promise<void> {
  await enqueue(db, context, 'project-door', { doorId }, { debounceSeconds });
}

/** Asks for a new projection of all doors, after a change that many of them feel. */
export async function reprojectCompany(db: CompanyDb, context: CompanyContext): Promise<void> {
  await enqueue(db, context, 'project-company', {}, { debounceSeconds });
}
