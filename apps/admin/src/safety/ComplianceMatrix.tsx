import { complianceDevice } from '@lintel/contract';
import type { ComplianceDevice, ComplianceDoors, ComplianceSite } from '@lintel/contract';
import { count, palette } from '@lintel/ui';
import { Box, Button, Table, TableBody, TableCell, TableHead, TableRow, useMediaQuery } from '@mui/material';
import type { Theme } from '@mui/material';
import { useState } from 'react';
import { Link } from 'react-router';
import { useAnswer } from '../access/hooks.js';
import { Trouble, Waiting } from '../common/faces.js';
import { doorLink, siteLink } from '../common/links.js';
import { CellLines, CellMark } from './ComplianceCells.js';
import { deviceWords } from './deviceWords.js';

const urgentRow = { boxShadow: `inset 5px 0 0 ${palette.signal}`, background: palette.signalSoft };
const urgent = (state: string): boolean => state === 'overdue' || state === 'failed';
const link = { color: palette.ink, fontWeight: 650, textDecorationColor: palette.slateSoft, textUnderlineOffset: '3px' };

/** The columns: every kind of device, but such as no door here has. */
const shownDevices = (sites: readonly ComplianceSite[]): ComplianceDevice[] =>
  complianceDevice.options.filter((device) => sites.some(({ cells }) => cells.some((cell) => cell.device === device)));

/** Rows are sites; one opens to show its doors. On a phone each site is a card with what is not in date. */
export function ComplianceMatrix({ sites }: { sites: readonly ComplianceSite[] }) {
  const narrow = useMediaQuery((theme: Theme) => theme.breakpoints.down('md'));
  const [openId, setOpenId] = useState<string | null>(null);
  const toggle = (id: string) => setOpenId(openId === id ? null : id);
  const devices = shownDevices(sites);
  if (narrow) return <Cards sites={sites} openId={openId} toggle={toggle} />;
  return (
    <Box sx={{ overflowX: 'auto', border: `1px solid ${palette.line}`, borderRadius: '3px', background: palette.paper }} tabIndex={0} role="region" aria-label="Compliance matrix">
      <Table size="small" aria-label="Sites by safety devices" sx={{ '& td, & th': { padding: '6px 8px', verticalAlign: 'top' } }}>
        <TableHead>
          <TableRow>
            <TableCell>Site</TableCell>
            {devices.map((device) => (
              <TableCell key={device}>{deviceWords[device]}</TableCell>
            ))}
          </TableRow>
        </TableHead>
        {sites.map((site) => (
          <SiteRows key={site.siteId} devices={devices} site={site} open={openId === site.siteId} toggle={() => toggle(site.siteId)} />
        ))}
      </Table>
    </Box>
  );
}

function OpenButton({ site, open, toggle }: { site: ComplianceSite; open: boolean; toggle: () => void }) {
  const words = open ? 'Hide doors' : `Show ${count(site.doors, 'door')}`;
  return (
    <Button size="small" onClick={toggle} aria-expanded={open} aria-label={`${words} of ${site.siteName}`} sx={{ padding: '0 6px', marginLeft: '-6px', minWidth: 0 }}>
      {words}
    </Button>
  );
}

function SiteRows({ site, devices, open, toggle }: { site: ComplianceSite; devices: readonly ComplianceDevice[]; open: boolean; toggle: () => void }) {
  return (
    <TableBody>
      <TableRow hover sx={urgent(site.state) ? urgentRow : undefined}>
        <TableCell component="th" scope="row" sx={{ minWidth: 150 }}>
          <Box component={Link} to={siteLink(site.siteId)} sx={link}>
            {site.siteName}
          </Box>
          <Box sx={{ color: palette.slate, fontSize: '0.85rem', fontWeight: 400 }}>{site.ownerName}</Box>
          <OpenButton site={site} open={open} toggle={toggle} />
        </TableCell>
        {devices.map((device) => (
          <TableCell key={device}>
            <CellMark cell={site.cells.find((cell) => cell.device === device)} />
          </TableCell>
        ))}
      </TableRow>
      {open ? <DoorRows siteId={site.siteId} devices={devices} /> : null}
    </TableBody>
  );
}

function DoorRows({ siteId, devices }: { siteId: string; devices: readonly ComplianceDevice[] }) {
  const { data, error, refetch } = useAnswer<ComplianceDoors>(`/compliance/sites/${siteId}`);
  if (error || !data) {
    return (
      <TableRow>
        <TableCell colSpan={devices.length + 1}>{error ? <Trouble error={error} again={() => void refetch()} /> : <Waiting what="the doors" />}</TableCell>
      </TableRow>
    );
  }
  return data.doors.map((door) => (
    <TableRow key={door.doorId} sx={{ background: palette.frost }}>
      <TableCell component="th" scope="row" sx={{ paddingLeft: '22px !important' }}>
        <DoorName door={door} />
      </TableCell>
      {devices.map((device) => (
        <TableCell key={device}>
          <CellMark cell={door.cells.find((cell) => cell.device === device)} />
        </TableCell>
      ))}
    </TableRow>
  ));
}

function DoorName({ door }: { door: ComplianceDoors['doors'][number] }) {
  return (
    <>
      <Box component={Link} to={doorLink(door.doorId)} sx={link}>
        {door.doorName}
      </Box>
      {door.doorState === 'out-of-service' ? <Box sx={{ color: palette.signalDeep, fontWeight: 650, fontSize: '0.85rem' }}>out of service</Box> : null}
    </>
  );
}

function Cards({ sites, openId, toggle }: { sites: readonly ComplianceSite[]; openId: string | null; toggle: (id: string) => void }) {
  return (
    <Box component="ul" aria-label="Sites by safety devices" sx={{ listStyle: 'none', margin: 0, padding: 0, border: `1px solid ${palette.line}`, borderRadius: '3px', background: palette.paper }}>
      {sites.map((site) => (
        <Box component="li" key={site.siteId} sx={{ padding: '10px 14px', borderTop: `1px solid ${palette.lineSoft}`, ...(urgent(site.state) ? urgentRow : {}) }}>
          <Box component={Link} to={siteLink(site.siteId)} sx={link}>
            {site.siteName}
          </Box>
          <Box sx={{ color: palette.slate, fontSize: '0.88rem' }}>{site.ownerName}</Box>
          <CellLines cells={site.cells} />
          <OpenButton site={site} open={openId === site.siteId} toggle={() => toggle(site.siteId)} />
          {openId === site.siteId ? <DoorCards siteId={site.siteId} /> : null}
        </Box>
      ))}
    </Box>
  );
}

function DoorCards({ siteId }: { siteId: string }) {
  const { data, error, refetch } = useAnswer<ComplianceDoors>(`/compliance/sites/${siteId}`);
  if (error) return <Trouble error={error} again={() => void refetch()} />;
  if (!data) return <Waiting what="the doors" />;
  return (
    <Box component="ul" aria-label="Doors" sx={{ listStyle: 'none', margin: '4px 0 0', padding: 0 }}>
      {data.doors.map((door) => (
        <Box component="li" key={door.doorId} sx={{ padding: '6px 10px', borderTop: `1px solid ${palette.lineSoft}`, background: palette.frost }}>
          <DoorName door={door} />
          <CellLines cells={door.cells} />
        </Box>
      ))}
    </Box>
  );
}
