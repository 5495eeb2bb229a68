import type { DoorType } from '@lintel/contract';
import { Button } from '@mui/material';
import { useState } from 'react';
import { Link } from 'react-router';
import { useMay } from '../../access/hooks.js';
import { archiveFilter, inUse } from '../../common/archive.js';
import { listLink } from '../../common/links.js';
import { ListPage } from '../../common/ListPage.js';
import type { Column } from '../../common/RecordTable.js';
import { choicesOf, kindWords } from '../../common/words.js';
import { LibraryDialog } from './LibraryDialog.js';

const columns: readonly Column<DoorType>[] = [
  { key: 'name', label: 'Door type', sort: 'name', cell: (type) => type.name },
  { key: 'kind', label: 'Kind', sort: 'kind', cell: (type) => kindWords[type.kind] },
  { key: 'supply', label: 'Supply', sort: 'supplyVolts', align: 'right', cell: (type) => `${type.supplyVolts} V` },
  { key: 'heated', label: 'Frame', wide: true, cell: (type) => (type.heated ? 'heated' : 'not heated') },
  { key: 'size', label: 'Usual size, mm', align: 'right', wide: true, cell: (type) => `${type.widthMm.toLocaleString('en')} × ${type.heightMm.toLocaleString('en')}` },
  { key: 'positions', label: 'Positions', align: 'right', cell: (type) => type.positions },
  { key: 'doors', label: 'Doors', sort: 'doors', align: 'right', cell: (type) => <Link to={listLink('doors', { doorTypeId: type.id })}>{type.doors}</Link> },
];

/** Door types: what doors of one build share. */
export default function DoorTypeList() {
  const mayAdd = useMay('write', 'door-types');
  const [library, setLibrary] = useState(false);
  const actions = (
    <>
      <Button variant="outlined" component={Link} to="/door-types/create">
        Start from nothing
      </Button>
      <Button variant="contained" onClick={() => setLibrary(true)}>
        Take one from the library
      </Button>
    </>
  );
  return (
    <>
      <ListPage<DoorType>
        title="Door types"
        actions={mayAdd ? actions : null}
        resource="door-types"
        columns={columns}
        filters={[{ kind: 'text', field: 'q', label: 'Door type' }, { kind: 'choice', field: 'kind', label: 'Kind', choices: choicesOf(kindWords) }, archiveFilter]}
        filterDefaults={inUse}
        sort={{ field: 'name', order: 'ASC' }}
        href={(type) => `/door-types/${type.id}/show`}
        empty={{ title: 'No door types yet', text: 'Start from the library: freezer, cooler and dock doors with their positions, life ratings and maintenance plans.', action: mayAdd ? actions : null }}
      />
      {library ? <LibraryDialog onClose={() => setLibrary(false)} /> : null}
    </>
  );
}
