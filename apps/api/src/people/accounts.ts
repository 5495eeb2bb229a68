import { account, accountChange, accountCreate, accountList, accountRules, person, personList } from '@lintel/contract';
import { hashPassword, newId, type CompanyDb } from '@lintel/store';
import type { ReadDefinition, Row, WriteDefinition } from '../platform/resource/definition.js';
import { Refusal } from '../platform/refusal.js';

const room = 'people';

export const accounts: WriteDefinition = {
  path: 'accounts', room, resource: 'accounts', subject: 'account', view: 'account_list', record: account, list: accountList,
  search: ['name', 'email'],
  model: 'account',
  create: {
    schema: accountCreate,
    async act(db, { companyId }, given) {
      const { password, ...rest } = given as { password: string };
      const id = newId();
      await db.account.create({ data: { ...rest, companyId, id, passwordHash: await hashPassword(password) } as never });
      return id;
    },
  },
  change: {
    schema: accountChange,
    rules: accountRules,
    async before(db, _context, { id, given }) {
      await keepAnAdministrator(db, id, given);
      // Whoever got a new password, role or owner, or was closed, signs in anew.
      if (['password', 'role', 'ownerId', 'active'].some((field) => field in given)) {
        await db.session.deleteMany({ where: { accountId: id } });
      }
      if (typeof given['password'] === 'string') {
        given['passwordHash'] = await hashPassword(given['password']);
        delete given['password'];
      }
    },
  },
};

async function keepAnAdministrator(db: CompanyDb, id: string, given: Row): Promise<void> {
  const stays = (given['role'] ?? 'administrator') === 'administrator' && given['active'] !== false;
  if (stays) return;
  const others = await db.account.count({ where: { role: 'administrator', active: true, id: { not: id } } });
  if (others === 0) throw new Refusal('conflict', 'This is the last administrator: make another one first.');
}

/** Names of colleagues: without addresses, for everybody in the company. */
export const people: ReadDefinition = {
  path: 'people', room, resource: 'people', subject: 'person', view: 'account_list', record: person, list: personList,
  search: ['name'],
};
