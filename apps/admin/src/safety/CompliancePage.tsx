import { complianceState } from '@lintel/contract';
import type { Compliance } from '@lintel/contract';
import { ComplianceMark, palette } from '@lintel/ui';
import { Alert, Box, Button } from '@mui/material';
import { ListContextProvider, useList, usePermissions } from 'react-admin';
import type { ListControllerResult, RaRecord } from 'react-admin';
import { useSearchParams } from 'react-router';
import { useAnswer } from '../access/hooks.js';
import { query } from '../access/http.js';
import { Filters, anyFilter } from '../common/Filters.js';
import type { FilterWord } from '../common/Filters.js';
import { Nothing, Trouble, Waiting } from '../common/faces.js';
import { PageHead, Stack } from '../common/Page.js';
import { ComplianceMatrix } from './ComplianceMatrix.js';

const fields = ['ownerId', 'siteId', 'overdue'];

const siteFilters: readonly FilterWord[] = [
  { kind: 'record', field: 'siteId', label: 'Site', resource: 'sites', narrowedBy: 'ownerId' },
  {
    kind: 'choice',
    field: 'overdue',
    label: 'Overdue',
    all: 'All sites',
    choices: [
      { id: 'true', name: 'Something overdue' },
      { id: 'false', name: 'Nothing overdue' },
    ],
  },
];
const staffFilters: readonly FilterWord[] = [{ kind: 'record', field: 'ownerId', label: 'Owner', resource: 'owners' }, ...siteFilters];

/** The filters, kept in the address; the usual filter fields find them as they find those of a list. */
function useFilters() {
  const [parameters, setParameters] = useSearchParams();
  const list = useList<RaRecord>({ data: [] });
  const filterValues = Object.fromEntries(fields.flatMap((field) => (parameters.get(field) === null ? [] : [[field, parameters.get(field)]])));
  const setFilters = (values: Record<string, unknown>) => setParameters(query(values).slice(1), { replace: true });
  // Spread out, the controller's kinds of answer are told apart no more.
  return { ...list, filterValues, setFilters } as ListControllerResult;
}

/** Sites by kinds of safety devices: when each was last tested, by when it must be again; the worst first. */
export default function CompliancePage() {
  const { permissions: role } = usePermissions<string>();
  const context = useFilters();
  const asked = query(context.filterValues);
  const { data, error, isPending, refetch } = useAnswer<Compliance>(`/compliance${asked}`);
  return (
    <ListContextProvider value={context}>
      <PageHead
        title="Compliance"
        facts="Function tests of the safety devices, and the closing force"
        actions={
          <Button component="a" href={`/api/v1/compliance/export${asked}`} download variant="outlined">
            Export as CSV
          </Button>
        }
      />
      <Filters words={role === 'owner' ? siteFilters : staffFilters} />
      {error && !data ? <Trouble error={error} again={() => void refetch()} /> : null}
      {isPending ? <Waiting what="the matrix" /> : null}
      {data ? <Matrix compliance={data} narrowed={anyFilter(context.filterValues)} clear={() => context.setFilters({})} /> : null}
    </ListContextProvider>
  );
}

function Matrix({ compliance, narrowed, clear }: { compliance: Compliance; narrowed: boolean; clear: () => void }) {
  if (compliance.sites.length === 0) {
    return narrowed ? (
      <Nothing title="Nothing matches" action={<Button variant="outlined" onClick={clear}>Clear the filters</Button>}>
        No site fits all the filters above.
      </Nothing>
    ) : (
      <Nothing title="No doors yet">Once there are doors, each site stands here with the tests of its safety devices.</Nothing>
    );
  }
  return (
    <Stack>
      <Totals totals={compliance.totals} />
      <ComplianceMatrix sites={compliance.sites} />
      {compliance.more ? <Alert severity="info">There are more sites than are shown here, all better than these. Narrow the filters, or export them all.</Alert> : null}
      <Box sx={{ color: palette.slate, fontSize: '0.88rem', maxWidth: '92ch' }}>
        A test on record is a completed check in a work order, or a completed safety task. Dates are those of the maintenance plans and the site’s own
        rules, in the site’s calendar; nothing computed here moves one. Confirm the intervals against your local rules.
      </Box>
    </Stack>
  );
}

/** Sites by the state of their worst device. */
function Totals({ totals }: { totals: Compliance['totals'] }) {
  return (
    <Box
      component="ul"
      aria-label="Sites by their worst device"
      sx={{ listStyle: 'none', margin: 0, padding: 0, display: 'grid', gap: '1px', gridTemplateColumns: { xs: '1fr 1fr', md: 'repeat(5, 1fr)' }, '& > li:last-of-type': { gridColumn: { xs: '1 / -1', md: 'auto' } }, background: palette.line, border: `1px solid ${palette.line}`, borderRadius: '3px' }}
    >
      {complianceState.options.map((state) => (
        <Box component="li" key={state} sx={{ background: palette.paper, padding: '9px 14px' }}>
          <Box sx={{ fontSize: '1.4rem', fontWeight: 700, lineHeight: 1.2 }}>{totals[state]}</Box>
          <Box sx={{ fontSize: '0.9rem' }}>{totals[state] === 1 ? 'site' : 'sites'}: <ComplianceMark state={state} /></Box>
        </Box>
      ))}
    </Box>
  );
}
