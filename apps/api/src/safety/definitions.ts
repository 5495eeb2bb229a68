import {
  calibration, calibrationCreate, calibrationList, competence, competenceCreate, competenceList, instrument, instrumentChange,
  instrumentCreate, instrumentList, instrumentRules, type CalibrationCreate, type CompetenceCreate,
} from '@lintel/contract';
import { newId, type CompanyContext, type CompanyDb } from '@lintel/store';
import { invalidField, Refusal } from '../platform/refusal.js';
import { date, word } from '../platform/resource/codecs.js';
import type { Row, WriteDefinition } from '../platform/resource/definition.js';
import { latestDate } from './latestDate.js';

const room = 'safety';

export const instruments: WriteDefinition = {
  path: 'instruments', room, resource: 'instruments', subject: 'instrument', view: 'instrument_list', record: instrument,
  list: instrumentList, search: ['name', 'maker', 'model', 'serial'],
  filterBy: { kind: { column: 'kindWord' } },
  model: 'instrument',
  codecs: { kind: word },
  create: { schema: instrumentCreate },
  change: { schema: instrumentChange, rules: instrumentRules },
  archive: { usedBy: async () => null },
};

/** A fact; it is withdrawn by a verb of its own. */
export const calibrations: WriteDefinition = {
  path: 'calibrations', room, resource: 'calibrations', subject: 'calibration', view: 'calibration_list', record: calibration,
  list: calibrationList, search: [],
  model: 'calibration',
  create: { schema: calibrationCreate, act: addCalibration },
};

async function addCalibration(db: CompanyDb, { companyId, accountId }: CompanyContext, given: Row): Promise<string> {
  const { instrumentId, calibratedOn, dueOn, ...rest } = given as CalibrationCreate;
  if (calibratedOn > latestDate()) throw invalidField('calibratedOn', 'lies in the future');
  const found = await db.instrument.findFirst({ where: { id: instrumentId }, select: { archivedAt: true } });
  if (found === null) throw invalidField('instrumentId', 'there is no such instrument here');
  if (found.archivedAt !== null) throw new Refusal('conflict', 'This instrument is retired.');
  const id = newId();
  const { laboratory, certificateNumber = null, note = null } = rest;
  await db.calibration.create({
    data: { companyId, id, instrumentId, calibratedOn: date(calibratedOn) as Date, dueOn: date(dueOn) as Date, laboratory, certificateNumber, note, accountId },
  });
  return id;
}

/** A fact; it is revoked by a verb of its own. */
export const competences: WriteDefinition = {
  path: 'competences', room, resource: 'competences', subject: 'competence', view: 'competence_list', record: competence,
  list: competenceList, search: ['accountName', 'evidence', 'issuer'],
  filterBy: { kind: { column: 'kindWord' } },
  model: 'competence',
  create: { schema: competenceCreate, act: addCompetence },
};

async function addCompetence(db: CompanyDb, context: CompanyContext, given: Row): Promise<string> {
  const { accountId, kind, evidence, issuer, validFrom, validUntil = null, note = null } = given as CompetenceCreate;
  const account = await db.account.findFirst({ where: { id: accountId }, select: { role: true } });
  if (account === null) throw invalidField('accountId', 'there is no such account here');
  if (account.role === 'owner') throw invalidField('accountId', "is an owner's account: competent are the company's own people");
  const id = newId();
  const until = validUntil === null ? null : (date(validUntil) as Date);
  await db.competence.create({
    data: {
      companyId: context.companyId, id, accountId, kind: word(kind) as never, evidence, issuer, validFrom: date(validFrom) as Date,
      validUntil: until, note, recordedById: context.accountId,
    },
  });
  return id;
}
