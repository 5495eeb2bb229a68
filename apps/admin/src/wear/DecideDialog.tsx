import type { WearModel } from '@lintel/contract';
import { useQueryClient } from '@tanstack/react-query';
import { etagOf } from '../access/dataProvider.js';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { NoteInput } from '../common/inputs.js';

/** Fixes a version, or releases it; why stands in the ledger. */
export function DecideDialog({ model, onClose }: { model: WearModel; onClose: () => void }) {
  const api = useApi();
  const client = useQueryClient();
  const deed = model.fixed ? 'release' : 'fix';
  const submit = async (values: Record<string, unknown>) => {
    await api.send('POST', `/wear-models/${model.id}/${deed}`, values, etagOf(model.version));
    await client.invalidateQueries();
  };
  return (
    <ActionDialog
      title={model.fixed ? `Release version ${model.number}` : `Fix version ${model.number}`}
      open
      onClose={onClose}
      submit={submit}
      submitWord={model.fixed ? 'Release it' : 'Fix it'}
      done={model.fixed ? 'Released: the newest version is in use.' : 'Fixed: this version is in use until it is released.'}
    >
      <p>
        {model.fixed
          ? 'The newest version will be in use again, and the fleet is computed anew with it.'
          : 'This version will be in use for remaining lives and renewals, whatever is learned later, until somebody releases it. Safety inspections stay due as they are.'}
      </p>
      <NoteInput label="Why" needed />
    </ActionDialog>
  );
}
