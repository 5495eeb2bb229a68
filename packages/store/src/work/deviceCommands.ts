import { technicianCommand, type CommandAnswer, type DeviceCommand, type DeviceCommands, type TechnicianCommand } from '@lintel/contract';
import type pg from 'pg';
import type { CompanyContext, Store } from '../context.js';
import { loadKnownRows, type KnownRows } from './knownRows.js';
import { lockOrders, type OrderState } from './orderState.js';
import { applyTechnicianCommand, type CommandResult } from './technicianCommand.js';
import { WorkBooks } from './workBooks.js';

/** Who sends them. */
export interface Sender {
  context: CompanyContext;
  accountId: string;
  planner: boolean;
}

interface ReadCommand extends DeviceCommand {
  /** Null where it could not be read; then why. */
  understood: TechnicianCommand | null;
  fault: { field: string; message: string } | null;
}

/** Errors of PostgreSQL that a second try may not meet again: the connection, a lock-up, a server that is going down. */
const PASSING = /^(08|40|53|55|57)/;

/**
 * Does the commands of one device in their order. A known one is answered as it was and does nothing; one that is refused does
 * not stop those behind it. All in one transaction, with their answers; where the database refuses one of them for a reason that no
 * rule foresaw, each in a transaction of its own, and that one is refused: it must not block the device for ever.
 */
export async function runDeviceCommands(store: Store, sender: Sender, given: DeviceCommands, now: () => Date = () => new Date()): Promise<CommandAnswer[]> {
  const commands = given.commands.map(read);
  const run = (some: readonly ReadCommand[]): Promise<CommandAnswer[]> =>
    store.withCompanySql(sender.context, (client) => doAll(client, sender, given.device, some, now()));
  try {
    return await run(commands);
  } catch (error) {
    if (!isLasting(error)) throw error;
  }
  const answers: CommandAnswer[] = [];
  for (const command of commands) {
    try {
      answers.push(...(await run([command])));
    } catch (error) {
      if (!isLasting(error)) throw error;
      answers.push(...(await run([{ ...command, understood: null, fault: { field: '', message: 'the database refuses it' } }])));
    }
  }
  return answers;
}

/** The same in the caller's transaction, at a time of its own. */
export function doCommandsIn(client: pg.ClientBase, sender: Sender, given: DeviceCommands, now: Date): Promise<CommandAnswer[]> {
  return doAll(client, sender, given.device, given.commands.map(read), now);
}

function isLasting(error: unknown): boolean {
  const { code } = error as { code?: unknown };
  return typeof code === 'string' && /^[0-9A-Z]{5}$/.test(code) && !PASSING.test(code);
}

function read(command: DeviceCommand): ReadCommand {
  const parsed = technicianCommand.safeParse(command.command);
  const ids = { id: command.id.toLowerCase(), orderId: command.orderId.toLowerCase() };
  if (parsed.success) return { ...command, ...ids, understood: parsed.data, fault: null };
  const issue = parsed.error.issues[0]!;
  return { ...command, ...ids, understood: null, fault: { field: issue.path.join('.'), message: issue.message } };
}

async function doAll(client: pg.ClientBase, sender: Sender, device: string, commands: readonly ReadCommand[], now: Date): Promise<CommandAnswer[]> {
  const { context, accountId } = sender;
  // Of one person nothing runs at the same time: a batch that is sent twice at once waits here, and then finds its answers.
  await client.query("SELECT pg_advisory_xact_lock(hashtextextended('work:' || $1 || ':' || $2, 0))", [context.companyId, accountId]);
  const known = await knownAnswers(client, context.companyId, commands);
  const fresh = commands.filter(({ id }) => !known.has(id));
  const orders = await lockOrders(client, context.companyId, [...new Set(fresh.map(({ orderId }) => orderId))]);
  const books = new WorkBooks(client, context, now);
  const rows = await loadKnownRows(client, context.companyId, fresh, orders);
  const answers = commands.map((command): CommandAnswer => {
    const before = known.get(command.id);
    if (before !== undefined) return before.accountId === accountId ? { ...before.answer, repeated: true } : taken(command);
    const answer = doOne(books, orders.get(command.orderId), command, sender, rows);
    books.commands.push({
      id: command.id, account_id: accountId, device, work_order_id: orders.has(command.orderId) ? command.orderId : null,
      command: command.command ?? null, made_at: command.madeAt, received_at: now.toISOString(), outcome: answer.outcome, answer,
    });
    known.set(command.id, { accountId, answer });
    return answer;
  });
  await books.write();
  return answers;
}

function doOne(books: WorkBooks, state: OrderState | undefined, command: ReadCommand, { accountId, planner }: Sender, known: KnownRows): CommandAnswer {
  const result = decide(books, state, command, { accountId, planner, known });
  const orderVersion = state?.version ?? null;
  if ('refused' in result) {
    return { id: command.id, outcome: 'refused', repeated: false, refusal: { code: result.refused, facts: result.facts }, orderVersion };
  }
  return { id: command.id, outcome: result.outcome, repeated: false, refusal: null, orderVersion };
}

function decide(
  books: WorkBooks, state: OrderState | undefined, command: ReadCommand, who: { accountId: string; planner: boolean; known: KnownRows },
): CommandResult {
  if (command.understood === null) return { refused: 'not-a-command', facts: { ...command.fault } };
  if (state === undefined) return { refused: 'no-such-order', facts: {} };
  return applyTechnicianCommand(books, state, command.understood, { ...who, id: command.id, deviceMs: Date.parse(command.madeAt) });
}

/** Somebody else's command has this id. It is not stored: the id says already what it was. */
const taken = ({ id }: ReadCommand): CommandAnswer =>
  ({ id, outcome: 'refused', repeated: false, refusal: { code: 'id-taken', facts: {} }, orderVersion: null });

async function knownAnswers(client: pg.ClientBase, companyId: string, commands: readonly ReadCommand[]) {
  const { rows } = await client.query<{ id: string; account_id: string; answer: CommandAnswer }>(
    'SELECT id, account_id, answer FROM device_command WHERE company_id = $1::uuid AND id = ANY ($2::uuid[])',
    [companyId, commands.map(({ id }) => id)],
  );
  return new Map(rows.map((row) => [row.id, { accountId: row.account_id, answer: row.answer }]));
}
