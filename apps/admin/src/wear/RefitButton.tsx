import type { JobAsked, PartKind } from '@lintel/contract';
import { Button } from '@mui/material';
import { useState } from 'react';
import { SelectInput, required } from 'react-admin';
import { useApi, useMay } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { choicesOf, partKindWords } from '../common/words.js';

/** Asks for the models of one kind of part to be fitted anew; nobody need, for every change of a part does. */
export function RefitButton({ kind }: { kind?: PartKind }) {
  const may = useMay('write', 'wear-models');
  const api = useApi();
  const [open, setOpen] = useState(false);
  if (!may) return null;
  return (
    <>
      <Button variant="outlined" onClick={() => setOpen(true)}>
        Fit anew
      </Button>
      <ActionDialog
        title="Fit models anew"
        open={open}
        onClose={() => setOpen(false)}
        defaults={kind ? { kind } : {}}
        submit={(values) => api.send<JobAsked>('POST', '/wear-models/refit', { kind: values['kind'] })}
        submitWord="Fit anew"
        done="The models are being fitted. A version is made where anything has changed."
      >
        <SelectInput source="kind" label="Kind of part" choices={choicesOf(partKindWords)} validate={required()} />
      </ActionDialog>
    </>
  );
}
