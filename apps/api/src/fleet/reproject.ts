import { enqueue, REFIT_AFTER_SECONDS, type CompanyContext, type CompanyDb } from '@lintel/store';

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

/** A life began, ended or was told otherwise: its kind of part is learned from anew. */
export async function refitKindOfPart(db: CompanyDb, context: CompanyContext, fittedPartId: string): Promise<void> {
  const part = await db.fittedPart.findFirst({ where: { id: fittedPartId }, select: { position: { select: { kind: true } } } });
  if (part) await refitKind(db, context, part.position.kind);
}

/** Asks for new wear models of one kind of part. */
export async function refitKind(db: CompanyDb, context: CompanyContext, kind: string): Promise<void> {
  await enqueue(db, context, 'refit-pool', { kind }, { debounceSeconds: REFIT_AFTER_SECONDS });
}
