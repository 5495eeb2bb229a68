import type { Door } from '@lintel/contract';
import { conditionWords, count, stateWords } from '@lintel/ui';
import { Button } from '@mui/material';
import { useMay } from '../../access/hooks.js';
import type { FilterWord } from '../../common/Filters.js';
import { doorLink } from '../../common/links.js';
import { ListPage } from '../../common/ListPage.js';
import { choicesOf, kindWords } from '../../common/words.js';
import { useDialog } from '../../common/useDialog.js';
import { doorColumns } from './doorColumns.js';
import { LabelsDialog, LabelsOfFilter } from './LabelsDialog.js';

const filters: readonly FilterWord[] = [
  { kind: 'text', field: 'q', label: 'Door or serial' },
  { kind: 'record', field: 'ownerId', label: 'Owner', resource: 'owners' },
  { kind: 'record', field: 'siteId', label: 'Site', resource: 'sites', narrowedBy: 'ownerId' },
  { kind: 'choice', field: 'condition', label: 'Condition', choices: choicesOf(conditionWords) },
  { kind: 'choice', field: 'state', label: 'State', choices: choicesOf(stateWords) },
  { kind: 'choice', field: 'kind', label: 'Kind', choices: choicesOf(kindWords) },
  {
    kind: 'choice',
    field: 'overdueSafety',
    label: 'Safety inspection',
    choices: [
      { id: 'true', name: 'Overdue' },
      { id: 'false', name: 'Not overdue' },
    ],
  },
];

/** Every door that the account may see. */
export default function DoorList() {
  const prints = useMay('read', 'door-labels');
  const { subject, open, close } = useDialog<readonly Door[]>();
  return (
    <>
      <ListPage<Door>
        title="Doors"
        add="Add a door"
        resource="doors"
        columns={doorColumns}
        filters={filters}
        sort={{ field: 'name', order: 'ASC' }}
        href={(door) => doorLink(door.id)}
        urgent={(door) => door.overdueSafety}
        above={prints ? <LabelsOfFilter /> : null}
        bulk={
          prints
            ? {
                nameOf: (door) => `${door.name}, ${door.siteName}`,
                may: (door) => door.state !== 'decommissioned',
                renderDeeds: (doors) => (
                  <Button size="small" variant="contained" onClick={() => open(doors)}>
                    Print labels…
                  </Button>
                ),
              }
            : undefined
        }
        empty={{
          title: 'No doors yet',
          text: 'Add a door by hand, or bring many in at once from a file under Imports.',
        }}
      />
      {subject ? <LabelsDialog doors={{ id: subject.map(({ id }) => id) }} what={count(subject.length, 'door')} onClose={close} /> : null}
    </>
  );
}
