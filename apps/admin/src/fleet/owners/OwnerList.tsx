import type { Owner } from '@lintel/contract';
import { Link } from 'react-router';
import { useMay } from '../../access/hooks.js';
import { archiveFilter, inUse } from '../../common/archive.js';
import { listLink } from '../../common/links.js';
import { ListPage } from '../../common/ListPage.js';
import type { Column } from '../../common/RecordTable.js';

const columns: readonly Column<Owner>[] = [
  { key: 'name', label: 'Owner', sort: 'name', cell: (owner) => owner.name },
  { key: 'contact', label: 'Contact', cell: (owner) => owner.contactName ?? '–' },
  { key: 'email', label: 'E-mail', cell: (owner) => owner.email ?? '–' },
  { key: 'phone', label: 'Telephone', wide: true, cell: (owner) => owner.phone ?? '–' },
  { key: 'sites', label: 'Sites', sort: 'sites', align: 'right', cell: (owner) => <Link to={listLink('sites', { ownerId: owner.id, ...inUse })}>{owner.sites}</Link> },
  { key: 'doors', label: 'Doors', sort: 'doors', align: 'right', cell: (owner) => <Link to={listLink('doors', { ownerId: owner.id })}>{owner.doors}</Link> },
];

/** Facility owners that the company serves. */
export default function OwnerList() {
  const mayAdd = useMay('write', 'owners');
  return (
    <ListPage<Owner>
      title="Owners"
      add="Add an owner"
      resource="owners"
      columns={columns}
      filters={[{ kind: 'text', field: 'q', label: 'Owner' }, archiveFilter]}
      filterDefaults={inUse}
      sort={{ field: 'name', order: 'ASC' }}
      {...(mayAdd ? { href: (owner: Owner) => `/owners/${owner.id}` } : {})}
      empty={{ title: 'No owners yet', text: 'An owner is a firm whose doors you look after. Its sites hang on it.' }}
    />
  );
}
