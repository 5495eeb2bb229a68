import type { DueItem } from '@lintel/contract';
import { SafetyMark, formatDate, formatMinutes, palette } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { useMay } from '../access/hooks.js';
import type { FilterWord } from '../common/Filters.js';
import { doorLink } from '../common/links.js';
import { ListPage } from '../common/ListPage.js';
import type { Column } from '../common/RecordTable.js';
import { useDialog } from '../common/useDialog.js';
import { FromDueDialog } from '../work/FromDueDialog.js';
import { OrderOfDue } from '../work/OrderOfDue.js';
import { dueSentence } from './dueSentence.js';

const yesNo = [
  { id: 'true', name: 'Yes' },
  { id: 'false', name: 'No' },
];

const columns: readonly Column<DueItem>[] = [
  { key: 'door', label: 'Door', sort: 'doorName', cell: (item) => item.doorName },
  { key: 'site', label: 'Site', sort: 'siteName', cell: (item) => item.siteName },
  {
    key: 'task',
    label: 'Task',
    sort: 'taskName',
    cell: (item) => (
      <>
        {item.taskName}
        {item.safety ? (
          <Box sx={{ fontSize: '0.88rem' }}>
            <SafetyMark urgent={item.overdue} word={item.overdue ? 'safety inspection, overdue' : 'safety inspection'} />
          </Box>
        ) : item.overdue ? (
          <Box sx={{ fontSize: '0.88rem', color: palette.signalDeep, fontWeight: 700 }}>overdue</Box>
        ) : null}
        <OrderOfDue item={item} />
      </>
    ),
  },
  { key: 'due', label: 'Due', sort: 'dueOn', cell: (item) => <Box component="span" sx={{ whiteSpace: 'nowrap' }}>{formatDate(item.dueOn)}</Box> },
  { key: 'latest', label: 'Latest', sort: 'latestOn', cell: (item) => <Box component="span" sx={{ whiteSpace: 'nowrap' }}>{formatDate(item.latestOn)}</Box> },
  { key: 'minutes', label: 'Takes', align: 'right', sort: 'minutes', wide: true, cell: (item) => formatMinutes(item.minutes) },
  { key: 'why', label: 'Why then', wide: true, cell: (item) => <Box sx={{ color: palette.inkSoft, minWidth: 300 }}>{dueSentence(item.why, item.safety)}</Box> },
];

const filters: readonly FilterWord[] = [
  { kind: 'text', field: 'q', label: 'Door or task' },
  { kind: 'record', field: 'ownerId', label: 'Owner', resource: 'owners' },
  { kind: 'record', field: 'siteId', label: 'Site', resource: 'sites', narrowedBy: 'ownerId' },
  { kind: 'choice', field: 'safety', label: 'Safety inspection', choices: yesNo },
  { kind: 'choice', field: 'overdue', label: 'Overdue', choices: yesNo },
  { kind: 'choice', field: 'ordered', label: 'Order made', choices: yesNo },
  { kind: 'date', field: 'dueOnFrom', label: 'Due from' },
  { kind: 'date', field: 'dueOnTo', label: 'Due to' },
];

/** Everything that falls due at any door, soonest first. */
export default function DueList() {
  const mayPlan = useMay('write', 'work-orders');
  const { subject, open, close } = useDialog<{ items: readonly DueItem[]; clear: () => void }>();
  return (
    <>
      <ListPage<DueItem>
        title="Due work"
        resource="due-items"
        columns={columns}
        filters={filters}
        sort={{ field: 'dueOn', order: 'ASC' }}
        href={(item) => doorLink(item.doorId)}
        urgent={(item) => item.overdue && item.safety}
        bulk={
          mayPlan
            ? {
                nameOf: (item) => `${item.taskName}, ${item.doorName}`,
                renderDeeds: (items, clear) => (
                  <Button size="small" variant="contained" onClick={() => open({ items, clear })}>
                    Make orders…
                  </Button>
                ),
              }
            : undefined
        }
        renderDeeds={
          mayPlan
            ? (item) => item.ordered ? null : (
                <Button size="small" onClick={() => open({ items: [item], clear: () => undefined })} aria-label={`Order… ${item.taskName}, ${item.doorName}`}>
                  Order…
                </Button>
              )
            : undefined
        }
        empty={{ title: 'Nothing is due', text: 'Due work appears once doors have a type with a maintenance plan and the first projection has run.' }}
      />
      {subject ? (
        <FromDueDialog
          items={subject.items}
          onClose={() => {
            subject.clear();
            close();
          }}
        />
      ) : null}
    </>
  );
}
