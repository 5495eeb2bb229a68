import { Cautions } from '@lintel/ui';
import { Alert, Box, Button, Dialog, DialogActions, DialogContent, DialogTitle } from '@mui/material';
import { useState } from 'react';
import type { ReactNode } from 'react';
import { Form, useNotify, useRefresh } from 'react-admin';
import { useFormState } from 'react-hook-form';
import { refusalOf } from '../access/http.js';

interface ActionDialogProps {
  title: string;
  open: boolean;
  onClose: () => void;
  /** Does it; what it throws is shown, field by field where the server says so. */
  submit: (values: Record<string, unknown>) => Promise<unknown>;
  submitWord: string;
  done: string;
  defaults?: Record<string, unknown>;
  /** Work is done at the door: shows the usual cautions first. */
  atDoor?: boolean;
  /** Cannot be taken back. */
  grave?: boolean;
  wide?: boolean;
  children: ReactNode;
}

// The form stands between the dialog and its scrolling part: without this the buttons would be pushed out of sight.
const scrolling = { '& > form': { display: 'flex', flexDirection: 'column', minHeight: 0 } };

/** One deed, asked for in a dialog: cautions, fields, and whatever the server answers. */
export function ActionDialog(props: ActionDialogProps) {
  const { title, open, onClose, submit, done, defaults = {}, atDoor = false } = props;
  const [refusal, setRefusal] = useState<string | null>(null);
  const notify = useNotify();
  const refresh = useRefresh();
  const close = () => {
    setRefusal(null);
    onClose();
  };
  const onSubmit = async (values: Record<string, unknown>) => {
    setRefusal(null);
    try {
      await submit(values);
    } catch (error) {
      const { detail, problem } = refusalOf(error);
      setRefusal(detail);
      return problem?.errors ? Object.fromEntries(problem.errors.map(({ field, message }) => [field, message])) : {};
    }
    notify(done, { type: 'success' });
    refresh();
    close();
    return {};
  };
  return (
    <Dialog open={open} onClose={close} fullWidth maxWidth={props.wide ? 'md' : 'sm'} aria-labelledby="action-title" slotProps={{ paper: { sx: scrolling } }}>
      <DialogTitle id="action-title">{title}</DialogTitle>
      <Form onSubmit={onSubmit} defaultValues={defaults} sanitizeEmptyValues>
        <DialogContent sx={{ paddingTop: '0 !important' }}>
          {atDoor ? (
            <Box sx={{ marginBottom: 1.5 }}>
              <Cautions compact />
            </Box>
          ) : null}
          {props.children}
          {refusal ? (
            <Alert severity="error" sx={{ marginTop: 1 }}>
              {refusal}
            </Alert>
          ) : null}
        </DialogContent>
        <Buttons onClose={close} word={props.submitWord} grave={props.grave ?? false} />
      </Form>
    </Dialog>
  );
}

function Buttons({ onClose, word, grave }: { onClose: () => void; word: string; grave: boolean }) {
  const { isSubmitting } = useFormState();
  return (
    <DialogActions sx={{ padding: '8px 24px 18px' }}>
      <Button onClick={onClose}>Leave it</Button>
      <Button type="submit" variant="contained" color={grave ? 'error' : 'primary'} disabled={isSubmitting}>
        {isSubmitting ? 'Saving…' : word}
      </Button>
    </DialogActions>
  );
}
