import type { DoorType, LibraryDoorType } from '@lintel/contract';
import { count } from '@lintel/ui';
import { Alert } from '@mui/material';
import { RadioButtonGroupInput, TextInput, required } from 'react-admin';
import { useNavigate } from 'react-router';
import { givenFields } from '../../access/dataProvider.js';
import { useAnswer, useApi } from '../../access/hooks.js';
import { ActionDialog } from '../../common/ActionDialog.js';
import { Trouble, Waiting } from '../../common/faces.js';
import { kindWords } from '../../common/words.js';

/** Takes a generic type over, with its positions, default life ratings and default maintenance plan. */
export function LibraryDialog({ onClose }: { onClose: () => void }) {
  const api = useApi();
  const navigate = useNavigate();
  const { data, error, isPending, refetch } = useAnswer<{ items: LibraryDoorType[] }>('/door-type-library');
  const submit = async (values: Record<string, unknown>) => {
    const made = await api.send<DoorType>('POST', '/door-types/from-library', givenFields({ kind: values['kind'], name: values['name'] }));
    void navigate(`/door-types/${made.id}/show`);
  };
  return (
    <ActionDialog title="Take a door type from the library" open onClose={onClose} submit={submit} submitWord="Take it over" done="The door type has been taken over.">
      <Alert severity="info" icon={false} sx={{ marginBottom: 1 }}>
        Life ratings and intervals are defaults. Replace the ratings with the maker’s, and confirm the intervals against local rules.
      </Alert>
      {error ? (
        <Trouble error={error} again={() => void refetch()} />
      ) : isPending || !data ? (
        <Waiting what="the library" />
      ) : (
        <>
          <RadioButtonGroupInput
            source="kind"
            label="Kind of door"
            row={false}
            validate={required()}
            choices={data.items.map((item) => ({ id: item.kind, name: libraryLine(item) }))}
          />
          <TextInput source="name" label="Name" helperText="Left empty: the library’s own" />
        </>
      )}
    </ActionDialog>
  );
}

function libraryLine({ kind, doorType, positions, plans }: LibraryDoorType): string {
  const tasks = plans.reduce((sum, plan) => sum + plan.tasks.length, 0);
  return `${kindWords[kind]}: ${doorType.supplyVolts} V${doorType.heated ? ', heated frame' : ''}, ${count(positions.length, 'position')}, ${count(tasks, 'task')}`;
}
