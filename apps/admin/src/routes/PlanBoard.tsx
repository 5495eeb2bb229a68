import { palette } from '@lintel/ui';
import { Box, Button, MenuItem, TextField } from '@mui/material';
import { lazy, Suspense, useState } from 'react';
import { Waiting } from '../common/faces.js';
import { Columns, Panel, Stack } from '../common/Page.js';
import { dayWords } from '../work/week.js';
import { CostPanel } from './CostPanel.js';
import { MoveBar } from './MoveBar.js';
import { PartsPanel } from './PartsPanel.js';
import { usePlanView } from './planView.js';
import { TimeLine } from './TimeLine.js';
import { UnservedPanel } from './UnservedPanel.js';
import { VisitPanel } from './VisitPanel.js';

const RouteMap = lazy(() => import('./RouteMap.js'));

interface Narrowing {
  technicianId: string;
  setTechnicianId: (id: string) => void;
  onDate: string;
  setOnDate: (date: string) => void;
}

/** Time line and map side by side, linked by what is chosen and pointed at. */
export function PlanBoard(narrowing: Narrowing) {
  const { plan, mayMove } = usePlanView();
  return (
    <>
      <Columns widths="minmax(0, 1.45fr) minmax(0, 1fr)">
        <Stack>
          <Panel title="Days" note={mayMove ? 'Drag a visit, or take it up with Enter' : ''}>
            <Narrow {...narrowing} />
            <MoveBar />
            <TimeLine />
          </Panel>
          <UnservedPanel />
        </Stack>
        <Box sx={{ position: { lg: 'sticky' }, top: 12, maxHeight: { lg: 'calc(100vh - 24px)' }, overflowY: { lg: 'auto' } }}>
          <Stack>
            <MapPanel />
            <VisitPanel />
          </Stack>
        </Box>
      </Columns>
      <Columns widths="minmax(0, 1fr) minmax(0, 2fr)">
        <CostPanel plan={plan} />
        <PartsPanel plan={plan} />
      </Columns>
    </>
  );
}

/** Plans may span seas: the map follows the technician of the visit that is chosen, unless the whole plan is asked for. */
function MapPanel() {
  const { chosenId, lanes } = usePlanView();
  const [whole, setWhole] = useState(false);
  const technician = lanes.find(({ route }) => chosenId !== null && route.visitIds.includes(chosenId))?.route;
  return (
    <Panel
      title="Map"
      note={technician && !whole ? `Routes of ${technician.technicianName}` : ''}
      actions={technician ? <Button size="small" variant="outlined" onClick={() => setWhole(!whole)}>{whole ? `Routes of ${technician.technicianName} alone` : 'All routes'}</Button> : null}
    >
      <Suspense fallback={<Waiting what="the map" />}>
        <RouteMap technicianId={technician && !whole ? technician.technicianId : null} />
      </Suspense>
    </Panel>
  );
}

function Narrow({ technicianId, setTechnicianId, onDate, setOnDate }: Narrowing) {
  const { lanes } = usePlanView();
  const technicians = [...new Map(lanes.map(({ route }) => [route.technicianId, route.technicianName]))];
  const days = [...new Set(lanes.map(({ route }) => route.onDate))].sort();
  return (
    <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: 1, marginBottom: 1, color: palette.ink, '& > *': { flex: '1 1 150px', maxWidth: 240 } }}>
      <TextField select label="Technician" value={technicianId} onChange={(event) => setTechnicianId(event.target.value)} slotProps={{ inputLabel: { shrink: true }, select: { displayEmpty: true } }}>
        <MenuItem value="">All technicians</MenuItem>
        {technicians.map(([id, name]) => <MenuItem key={id} value={id}>{name}</MenuItem>)}
      </TextField>
      <TextField select label="Day" value={onDate} onChange={(event) => setOnDate(event.target.value)} slotProps={{ inputLabel: { shrink: true }, select: { displayEmpty: true } }}>
        <MenuItem value="">All days</MenuItem>
        {days.map((day) => <MenuItem key={day} value={day}>{dayWords(day)}</MenuItem>)}
      </TextField>
    </Box>
  );
}
