import { labelSizesMm } from '@lintel/contract';
import type { LabelPaper, LabelSize } from '@lintel/contract';
import { Box, Button, Dialog, DialogActions, DialogContent, DialogTitle, MenuItem, TextField } from '@mui/material';
import { useState } from 'react';
import { useListContext } from 'react-admin';
import { query } from '../../access/http.js';

const papers: readonly { id: LabelPaper; name: string }[] = [
  { id: 'a4', name: 'A4' },
  { id: 'us-letter', name: 'US Letter' },
];
const sizeWords: Record<LabelSize, string> = { small: 'Small', medium: 'Medium', large: 'Large' };

interface LabelsDialogProps {
  /** Which doors, as the server's query says it. */
  doors: Record<string, unknown>;
  what: string;
  onClose: () => void;
}

/** Labels to print and put up at the doors: their code opens the door's page on the tablet. */
export function LabelsDialog({ doors, what, onClose }: LabelsDialogProps) {
  const [paper, setPaper] = useState<LabelPaper>('a4');
  const [size, setSize] = useState<LabelSize>('medium');
  return (
    <Dialog open onClose={onClose} fullWidth maxWidth="xs" aria-labelledby="labels-title">
      <DialogTitle id="labels-title">Door labels</DialogTitle>
      <DialogContent>
        <Box sx={{ marginBottom: 1 }}>
          For {what}. Each has a code that opens the door on a technician’s tablet, and the door’s name, site and serial in plain words. Print them at full size.
        </Box>
        <TextField select label="Paper" value={paper} onChange={(event) => setPaper(event.target.value as LabelPaper)}>
          {papers.map(({ id, name }) => (
            <MenuItem key={id} value={id}>{name}</MenuItem>
          ))}
        </TextField>
        <TextField select label="Size of a label" value={size} onChange={(event) => setSize(event.target.value as LabelSize)}>
          {(Object.keys(sizeWords) as LabelSize[]).map((id) => (
            <MenuItem key={id} value={id}>
              {sizeWords[id]}, {labelSizesMm[id].widthMm} × {labelSizesMm[id].heightMm} mm
            </MenuItem>
          ))}
        </TextField>
      </DialogContent>
      <DialogActions sx={{ padding: '8px 24px 18px' }}>
        <Button onClick={onClose}>Leave it</Button>
        <Button component="a" href={`/api/v1/doors/labels.pdf${query({ ...doors, paper, size })}`} target="_blank" rel="noreferrer" variant="contained" onClick={onClose}>
          Open the sheet
        </Button>
      </DialogActions>
    </Dialog>
  );
}

/** Labels of all the doors that fit the filters above the list. */
export function LabelsOfFilter() {
  const { filterValues } = useListContext();
  const [open, setOpen] = useState(false);
  return (
    <Box sx={{ display: 'flex', justifyContent: 'flex-end', marginBottom: 0.6 }}>
      <Button size="small" onClick={() => setOpen(true)}>Labels of all that fit…</Button>
      {open ? <LabelsDialog doors={filterValues as Record<string, unknown>} what="all doors that fit the filters" onClose={() => setOpen(false)} /> : null}
    </Box>
  );
}
