import { Refusal, invalid, invalidField } from '../refusal.js';

/** What each rule of the database means to the person who ran into it: field and message. */
const ruleWords: Record<string, [field: string, message: string]> = {
  owner_name: ['name', 'an owner of this name exists already'],
  site_name: ['name', 'this owner has a site of this name already'],
  zone_name: ['name', 'this site has a zone of this name already'],
  door_type_name: ['name', 'a door type of this name exists already'],
  position_name: ['name', 'this door type has a position of this name already'],
  door_name: ['name', 'this site has a door of this name already'],
  plan_name: ['name', 'this door type has a plan of this name already'],
  task_name: ['name', 'this plan has a task of this name already'],
  account_email: ['email', 'an account with this e-mail exists already'],
  completion_once: ['doneAt', 'this task is noted as done on this door at this instant already'],
  chain_measurement_corrected_once: ['correctsId', 'has been corrected already'],
  calibration_once: ['calibratedOn', 'this calibration is recorded already'],
  counter_one_running: ['doorId', 'this door has a running counter: remove that one first'],
  fault_code_once: ['code', 'the catalogue has this code already'],
  force_limit_version_number: ['row', 'somebody else changed a limit at the same time'],
  instrument_name: ['name', 'an instrument of this name exists already'],
  van_stock_once: ['partId', 'this van has a line for this part already'],
  stock_part_code: ['code', 'a part of this code exists already'],
  fitted_part_one: ['positionId', 'this position of the door holds a part: remove that one first'],
};

interface DatabaseError {
  code?: string;
  constraint?: string;
  message?: string;
  cause?: unknown;
  meta?: { driverAdapterError?: unknown; field_name?: string; constraint?: unknown };
}

/**
 * A rule of the database that the change broke, as a refusal; null: another failure. Whatever the layer in between makes of
 * PostgreSQL's error, the name of the rule is somewhere in it.
 */
export function databaseRefusal(thrown: unknown): Refusal | null {
  const text = describe(thrown as DatabaseError);
  for (const [rule, [field, message]] of Object.entries(ruleWords)) {
    if (new RegExp(`\\b${rule}\\b`).test(text)) return new Refusal('conflict', message, { errors: [{ field, message }] });
  }
  const reference = /\b[a-z_]*?_company_id_(?:door_id_|site_id_)?([a-z_]+)_fkey\b/.exec(text);
  if (reference !== null) return invalidField(camel(reference[1]!), 'there is no such row here');
  const check = /violates check constraint "([a-z_]+)"/.exec(text);
  if (check !== null) return invalid([{ field: '', message: `the values do not go together (${check[1]!.replaceAll('_', ' ')})` }]);
  return null;
}

function describe(error: DatabaseError): string {
  try {
    return `${error.message ?? ''} ${error.constraint ?? ''} ${JSON.stringify(error.meta ?? {})} ${JSON.stringify(error.cause ?? {})}`;
  } catch {
    return error.message ?? '';
  }
}

const camel = (snake: string): string => snake.replace(/_([a-z])/g, (_, letter: string) => letter.toUpperCase());
