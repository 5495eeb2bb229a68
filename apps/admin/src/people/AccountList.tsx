import type { Account } from '@lintel/contract';
import { formatDate, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { ListPage } from '../common/ListPage.js';
import type { Column } from '../common/RecordTable.js';
import { choicesOf, roleWords } from '../common/words.js';

const columns: readonly Column<Account>[] = [
  { key: 'name', label: 'Name', sort: 'name', cell: (account) => account.name },
  { key: 'email', label: 'E-mail', sort: 'email', cell: (account) => account.email },
  { key: 'role', label: 'Role', sort: 'role', cell: (account) => roleWords[account.role] },
  { key: 'owner', label: 'Sees the sites of', cell: (account) => account.ownerName ?? 'the whole company' },
  { key: 'since', label: 'Since', sort: 'createdAt', wide: true, cell: (account) => formatDate(account.createdAt) },
  { key: 'active', label: 'Sign-in', cell: (account) => (account.active ? 'may sign in' : <Box component="span" sx={{ color: palette.slate }}>shut</Box>) },
];

/** Everybody who may sign in; for administrators. */
export default function AccountList() {
  return (
    <ListPage<Account>
      title="People"
      add="Add a person"
      resource="accounts"
      columns={columns}
      filters={[
        { kind: 'text', field: 'q', label: 'Name or e-mail' },
        { kind: 'choice', field: 'role', label: 'Role', choices: choicesOf(roleWords) },
        {
          kind: 'choice',
          field: 'active',
          label: 'Sign-in',
          choices: [
            { id: 'true', name: 'May sign in' },
            { id: 'false', name: 'Shut' },
          ],
        },
      ]}
      sort={{ field: 'name', order: 'ASC' }}
      href={(account) => `/accounts/${account.id}`}
      empty={{ title: 'Nobody yet', text: 'Add the people of your company, and the owners who may look at their doors.' }}
    />
  );
}
