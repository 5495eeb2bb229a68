import type { Door, Site } from '@lintel/contract';
import { Button, Menu, MenuItem } from '@mui/material';
import { useState } from 'react';
import { Link } from 'react-router';
import { useMay } from '../../access/hooks.js';
import { ChangeCounterDialog } from './ChangeCounterDialog.js';
import { CompleteTaskDialog } from './CompleteTaskDialog.js';
import { RecordReadingDialog } from './RecordReadingDialog.js';
import { DecommissionDialog, SetStateDialog } from './StateDialogs.js';

type Deed = 'reading' | 'task' | 'counter' | 'state' | 'decommission';

/** What can be done about a door, by what the account may do and the state the door is in. */
export function DoorActions({ door, site }: { door: Door; site: Site }) {
  const [deed, setDeed] = useState<Deed | null>(null);
  const [anchor, setAnchor] = useState<HTMLElement | null>(null);
  const records = useMay('write', 'readings');
  const changes = useMay('write', 'doors');
  if (door.state === 'decommissioned' || !records) return null;
  const close = () => setDeed(null);
  const choose = (next: Deed) => () => {
    setAnchor(null);
    setDeed(next);
  };
  const shared = { door, site, onClose: close };
  return (
    <>
      <Button variant="contained" onClick={choose('reading')}>
        Record a reading
      </Button>
      <Button variant="outlined" onClick={choose('task')}>
        Complete a task
      </Button>
      <Button variant="outlined" onClick={(event) => setAnchor(event.currentTarget)} aria-haspopup="menu" aria-expanded={anchor !== null}>
        More
      </Button>
      <Menu anchorEl={anchor} open={anchor !== null} onClose={() => setAnchor(null)}>
        <MenuItem onClick={choose('state')}>{door.state === 'in-service' ? 'Take out of service' : 'Put back into service'}</MenuItem>
        <MenuItem onClick={choose('counter')}>Change the counter</MenuItem>
        {changes ? (
          <MenuItem component={Link} to={`/doors/${door.id}`}>
            Change the door’s facts
          </MenuItem>
        ) : null}
        {changes ? <MenuItem onClick={choose('decommission')}>Decommission</MenuItem> : null}
      </Menu>
      {deed === 'reading' ? <RecordReadingDialog {...shared} /> : null}
      {deed === 'task' ? <CompleteTaskDialog {...shared} /> : null}
      {deed === 'counter' ? <ChangeCounterDialog {...shared} /> : null}
      {deed === 'state' ? <SetStateDialog {...shared} /> : null}
      {deed === 'decommission' ? <DecommissionDialog {...shared} /> : null}
    </>
  );
}
