import type { Door, FindingRow, WorkOrderRow } from '@lintel/contract';
import { palette } from '@lintel/ui';
import { Box, Button, Typography } from '@mui/material';
import { useGetList } from 'react-admin';
import { Link } from 'react-router';
import { useMay } from '../access/hooks.js';
import { Trouble, WaitingRows } from '../common/faces.js';
import { listLink } from '../common/links.js';
import { Panel } from '../common/Page.js';
import { RecordTable } from '../common/RecordTable.js';
import { useDialog } from '../common/useDialog.js';
import { FindingLine } from './FindingLine.js';
import { ReportFindingDialog, ResolveFindingDialog } from './FindingDialogs.js';
import { orderLink } from './orderWords.js';
import { orderColumns } from './WorkTable.js';

const columns = orderColumns.filter(({ key }) => key !== 'door');

/** The door's work orders, newest first, and what was found wrong on it and is still open. */
export function DoorWorkPanel({ door }: { door: Door }) {
  const plans = useMay('write', 'work-orders') && door.state !== 'decommissioned';
  const reports = useMay('write', 'findings') && door.state !== 'decommissioned';
  const report = useDialog<Door>();
  const { data = [], error, isPending, refetch } = useGetList<WorkOrderRow>(
    'work-orders',
    { filter: { doorId: door.id }, pagination: { page: 1, perPage: 8 }, sort: { field: 'number', order: 'DESC' } },
    { refetchInterval: 30_000 },
  );
  return (
    <Panel
      title="Work orders and findings"
      flush
      actions={
        <>
          {reports ? <Button size="small" variant="outlined" onClick={() => report.open(door)}>Report a finding</Button> : null}
          {plans ? <Button size="small" variant="outlined" component={Link} to={`/work-orders/create?doorId=${door.id}`}>Make an order</Button> : null}
          <Button size="small" variant="outlined" component={Link} to={listLink('work-orders', { doorId: door.id })}>Its orders</Button>
        </>
      }
    >
      <OpenFindings door={door} mayPlan={plans} mayResolve={reports} />
      {error ? (
        <Box sx={{ padding: 2 }}>
          <Trouble error={error} again={() => void refetch()} />
        </Box>
      ) : isPending ? (
        <WaitingRows rows={3} />
      ) : data.length === 0 ? (
        <Box sx={{ padding: '4px 16px 16px', color: palette.slate }}>No order has been made for this door.</Box>
      ) : (
        <RecordTable<WorkOrderRow> label="Work orders of the door" columns={columns} records={data} href={(order) => orderLink(order.id)} urgent={(order) => order.overdue} />
      )}
      {report.subject ? <ReportFindingDialog door={report.subject} onClose={report.close} /> : null}
    </Panel>
  );
}

function OpenFindings({ door, mayPlan, mayResolve }: { door: Door; mayPlan: boolean; mayResolve: boolean }) {
  const resolve = useDialog<FindingRow>();
  const { data = [], error, refetch } = useGetList<FindingRow>(
    'findings',
    { filter: { doorId: door.id, open: 'true' }, pagination: { page: 1, perPage: 50 }, sort: { field: 'foundAt', order: 'DESC' } },
    { refetchInterval: 30_000 },
  );
  const worstFirst = [...data].sort((a, b) => rank[b.severity] - rank[a.severity]);
  if (error) {
    return (
      <Box sx={{ padding: 2 }}>
        <Trouble error={error} again={() => void refetch()} />
      </Box>
    );
  }
  if (data.length === 0) return null;
  return (
    <Box>
      <Typography variant="h3" sx={{ padding: '2px 16px 4px' }}>Open findings</Typography>
      <Box component="ul" aria-label="Open findings" sx={{ listStyle: 'none', margin: '0 0 8px', padding: 0 }}>
        {worstFirst.map((finding) => (
          <FindingLine key={finding.id} finding={finding} timeZone={door.timeZone}>
            <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: 1, marginTop: 0.6 }}>
              {mayPlan && finding.correctiveId === null ? (
                <Button size="small" variant="outlined" component={Link} to={`/work-orders/create?findingId=${finding.id}`}>Make an order to put it right</Button>
              ) : null}
              {mayResolve && finding.severity !== 'unsafe' ? <Button size="small" onClick={() => resolve.open(finding)}>It has been put right…</Button> : null}
            </Box>
          </FindingLine>
        ))}
      </Box>
      {resolve.subject ? <ResolveFindingDialog finding={resolve.subject} onClose={resolve.close} /> : null}
    </Box>
  );
}

const rank = { note: 0, defect: 1, unsafe: 2 } as const;
