import { palette } from '@lintel/ui';
import { Alert, Box, Button, Dialog, DialogActions, DialogContent, DialogTitle, Radio, Table, TableBody, TableCell, TableHead, TableRow, Typography } from '@mui/material';
import { useState } from 'react';
import type { RaRecord } from 'react-admin';
import { changedFields } from '../access/dataProvider.js';
import { fieldWord, valueWord } from './fieldWords.js';

export interface Stale {
  /** As it was when the form opened. */
  base: RaRecord;
  /** What this form wanted to save. */
  mine: Record<string, unknown>;
  /** As somebody else saved it meanwhile. */
  current: RaRecord;
}

interface StaleComparisonProps {
  stale: Stale;
  /** Saves the chosen values over the present version. */
  onSave: (data: Record<string, unknown>, current: RaRecord) => void;
  onReload: () => void;
  onClose: () => void;
  refusal: string | null;
}

/** Fields that either side changed; ones the server computes are of no concern here. */
export function conflictFields({ base, mine, current }: Stale): { field: string; mine: boolean }[] {
  const own = changedFields(mine, base);
  const theirs = Object.keys(mine).filter((field) => JSON.stringify(current[field] ?? null) !== JSON.stringify(base[field] ?? null));
  const fields = [...new Set([...Object.keys(own), ...theirs])].filter((field) => !['version', 'id'].includes(field));
  return fields.map((field) => ({ field, mine: field in own }));
}

/** Two people changed the same record: side by side, field by field; whoever came second decides. */
export function StaleComparison({ stale, onSave, onReload, onClose, refusal }: StaleComparisonProps) {
  const rows = conflictFields(stale);
  const [keep, setKeep] = useState<Record<string, boolean>>(() => Object.fromEntries(rows.map(({ field, mine }) => [field, mine])));
  const save = () => {
    const chosen = rows.filter(({ field }) => keep[field]).map(({ field }) => [field, stale.mine[field]]);
    onSave({ ...stale.current, ...Object.fromEntries(chosen) }, stale.current);
  };
  return (
    <Dialog open onClose={onClose} fullWidth maxWidth="md" aria-labelledby="stale-title">
      <DialogTitle id="stale-title">Somebody else saved this meanwhile</DialogTitle>
      <DialogContent>
        <Typography sx={{ marginBottom: 1.5 }}>
          Nothing is lost: your entries are still here. Choose for each field which value stands, then save.
        </Typography>
        <Box sx={{ overflowX: 'auto' }}>
          <Table size="small" aria-label="Both versions">
            <TableHead>
              <TableRow>
                <TableCell>Field</TableCell>
                <TableCell>When you opened it</TableCell>
                <TableCell>Saved meanwhile</TableCell>
                <TableCell>Yours</TableCell>
              </TableRow>
            </TableHead>
            <TableBody>
              {rows.map(({ field, mine }) => (
                <TableRow key={field}>
                  <TableCell sx={{ fontWeight: 650 }}>{fieldWord(field)}</TableCell>
                  <TableCell sx={{ color: palette.slate }}>{valueWord(stale.base[field])}</TableCell>
                  <Choice field={field} side="theirs" value={stale.current[field]} chosen={!keep[field]} choose={() => setKeep({ ...keep, [field]: false })} />
                  <Choice
                    field={field}
                    side="yours"
                    value={stale.mine[field]}
                    unchanged={!mine}
                    chosen={keep[field] ?? false}
                    choose={() => setKeep({ ...keep, [field]: true })}
                  />
                </TableRow>
              ))}
            </TableBody>
          </Table>
        </Box>
        {refusal ? <Alert severity="error" sx={{ marginTop: 1.5 }}>{refusal}</Alert> : null}
      </DialogContent>
      <DialogActions sx={{ padding: '8px 24px 18px' }}>
        <Button onClick={onReload}>Drop mine, show theirs</Button>
        <Button variant="contained" onClick={save}>
          Save what I chose
        </Button>
      </DialogActions>
    </Dialog>
  );
}

interface ChoiceProps {
  field: string;
  side: 'theirs' | 'yours';
  value: unknown;
  chosen: boolean;
  unchanged?: boolean;
  choose: () => void;
}

function Choice({ field, side, value, chosen, unchanged = false, choose }: ChoiceProps) {
  return (
    <TableCell sx={{ background: chosen ? palette.iceSoft : undefined }}>
      <Box component="label" sx={{ display: 'flex', alignItems: 'center', gap: 0.5, cursor: 'pointer' }}>
        <Radio
          size="small"
          name={`keep-${field}`}
          checked={chosen}
          onChange={choose}
          slotProps={{ input: { 'aria-label': `${fieldWord(field)}: keep ${side}` } }}
        />
        <span>
          {valueWord(value)}
          {unchanged ? <Box component="span" sx={{ color: palette.slate }}> (you left it)</Box> : null}
        </span>
      </Box>
    </TableCell>
  );
}
