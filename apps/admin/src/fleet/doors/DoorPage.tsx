import type { Door } from '@lintel/contract';
import { Cautions, ConditionMark, SafetyMark, StateMark, formatAbout, formatDate } from '@lintel/ui';
import { Alert } from '@mui/material';
import { useState } from 'react';
import { Link, useParams } from 'react-router';
import { Trouble, Waiting } from '../../common/faces.js';
import { siteLink } from '../../common/links.js';
import { DoorFaultsPanel } from '../../faults/DoorFaultsPanel.js';
import { Columns, PageHead, Panel, Stack } from '../../common/Page.js';
import { DoorActions } from './DoorActions.js';
import { DoorDrawing } from './DoorDrawing.js';
import { DoorDue } from './DoorDue.js';
import { DoorDutyPanel } from './DoorDutyPanel.js';
import { DoorFacts } from './DoorFacts.js';
import { DoorHistory } from './DoorHistory.js';
import { PositionsPanel } from './PositionsPanel.js';
import { DoorCertificatesPanel } from '../../safety/DoorCertificatesPanel.js';
import { HandbookPanels } from '../../wear/HandbookPanels.js';
import { RenewalPanel } from '../../wear/RenewalPanel.js';
import { SafetyLivesPanel } from '../../wear/SafetyLivesPanel.js';
import { DoorWorkPanel } from '../../work/DoorWorkPanel.js';
import { useDoor } from './useDoor.js';

/** Everything about one door: its drawing in the middle, what is due and why, how hard it works, what was done. */
export default function DoorPage() {
  const { id = '' } = useParams();
  const { door, site, positions, error, isPending, refetch } = useDoor(id);
  const [selected, setSelected] = useState<string | null>(null);
  if (error && !door) return <Trouble error={error} again={() => void refetch()} />;
  if (isPending || !door || !site) return <Waiting what="the door" />;
  return (
    <>
      <PageHead
        title={`Door ${door.name}`}
        up={{ to: siteLink(door.siteId), word: door.siteName }}
        facts={<HeadFacts door={door} />}
        actions={<DoorActions door={door} site={site} />}
      />
      <Stack>
        <Notices door={door} />
        <Columns widths="minmax(0, 1.35fr) minmax(0, 1fr)">
          <DoorDrawing door={door} site={site} positions={positions} selected={selected} onSelect={setSelected} />
          <Stack>
            <Cautions />
            <Panel title="About the door">
              <DoorFacts door={door} site={site} />
            </Panel>
          </Stack>
        </Columns>
        <DoorDue door={door} site={site} />
        <DoorWorkPanel door={door} />
        <DoorCertificatesPanel door={door} />
        <PositionsPanel door={door} site={site} positions={positions} selected={selected} />
        <HandbookPanels door={door} site={site} />
        <SafetyLivesPanel door={door} />
        <RenewalPanel door={door} positions={positions} />
        <DoorDutyPanel door={door} site={site} />
        <DoorFaultsPanel door={door} site={site} />
        <DoorHistory door={door} site={site} />
      </Stack>
    </>
  );
}

function HeadFacts({ door }: { door: Door }) {
  return (
    <>
      <StateMark state={door.state} />
      <ConditionMark condition={door.condition} />
      {door.overdueSafety ? <SafetyMark word="safety inspection overdue" urgent /> : null}
      <span>
        {door.doorTypeName}, <Link to={siteLink(door.siteId)}>{door.siteName}</Link>, {door.ownerName}
      </span>
      {door.cyclesPerDay === null ? null : <span>about {formatAbout(door.cyclesPerDay)} cycles a day</span>}
    </>
  );
}

/** What the reader must not miss, before anything else. */
function Notices({ door }: { door: Door }) {
  return (
    <>
      {door.overdueSafety && door.safetyLatestOn ? (
        <Alert severity="error" icon={false}>
          <strong>A safety inspection of this door is overdue.</strong> Its latest date was {formatDate(door.safetyLatestOn)}. Nothing that this
          page computes extends it.
        </Alert>
      ) : null}
      {door.state === 'in-service' ? null : (
        <Alert severity={door.state === 'out-of-service' ? 'warning' : 'info'} icon={false}>
          <strong>{door.state === 'out-of-service' ? 'This door is out of service' : 'This door has been decommissioned'}</strong> since{' '}
          {formatDate(door.stateSince)}
          {door.stateReason ? `: ${door.stateReason}` : '.'}
        </Alert>
      )}
    </>
  );
}

