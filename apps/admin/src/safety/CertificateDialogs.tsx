import type { Certificate } from '@lintel/contract';
import { useQueryClient } from '@tanstack/react-query';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { NoteInput } from '../common/inputs.js';

/** Takes a certificate back; why stands in the ledger. */
export function WithdrawCertificateDialog({ certificate, onClose }: { certificate: Certificate; onClose: () => void }) {
  const api = useApi();
  const client = useQueryClient();
  const submit = async (values: Record<string, unknown>) => {
    await api.send('POST', `/certificates/${certificate.id}/withdraw`, values);
    await client.invalidateQueries();
  };
  return (
    <ActionDialog title={`Withdraw certificate ${certificate.number}`} open onClose={onClose} submit={submit} submitWord="Withdraw it" done="Withdrawn: its public page says so from now on." grave>
      <p>
        Its public page says from now on that it is withdrawn, not why. This cannot be taken back. Papers that are out stay out: tell those who hold
        them.
      </p>
      <NoteInput label="Why" source="reason" needed />
    </ActionDialog>
  );
}

/** A new key for all certificates to come. */
export function RotateKeyDialog({ onClose }: { onClose: () => void }) {
  const api = useApi();
  const client = useQueryClient();
  const submit = async (values: Record<string, unknown>) => {
    await api.send('POST', '/certificate-keys/rotate', values);
    await client.invalidateQueries();
  };
  return (
    <ActionDialog title="Change the key" open onClose={onClose} submit={submit} submitWord="Change it" done="A new key signs from now on." grave>
      <p>A new key signs from now on. Certificates of before stay as they are and are verified by the key that signed them. Hand the new public key out to those who verify by it.</p>
      <NoteInput label="Why" source="reason" needed />
    </ActionDialog>
  );
}
