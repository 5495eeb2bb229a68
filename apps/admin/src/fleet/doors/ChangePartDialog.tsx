import type { Door, Site } from '@lintel/contract';
import { useRef } from 'react';
import { BooleanInput, FormDataConsumer, SelectInput, TextInput, required } from 'react-admin';
import { etagOf, givenFields } from '../../access/dataProvider.js';
import { useApi } from '../../access/hooks.js';
import { ActionDialog } from '../../common/ActionDialog.js';
import { useNow } from '../../common/now.js';
import { CyclesInput, InstantInput, NoteInput } from '../../common/inputs.js';
import { choicesOf, removalWords } from '../../common/words.js';
import type { DoorPosition } from './useDoor.js';

interface ChangePartDialogProps {
  door: Door;
  site: Site;
  item: DoorPosition;
  onClose: () => void;
}

/** Takes a part out with its reason and, as a rule, records the one that was fitted instead. */
export function ChangePartDialog({ door, site, item: { position, part }, onClose }: ChangePartDialogProps) {
  const api = useApi();
  const now = useNow();
  // The removal went through and only the fitting was refused: a second try must not remove again.
  const removed = useRef(false);
  const submit = async (values: Record<string, unknown>) => {
    if (part && !removed.current) {
      const removal = givenFields({ at: values['at'], reason: values['reason'], cycles: values['cycles'], note: values['note'] });
      await api.send('POST', `/fitted-parts/${part.id}/remove`, removal, etagOf(part.version));
      removed.current = true;
    }
    if (part && values['another'] === false) return;
    const fitting = { doorId: door.id, positionId: position.id, serial: values['serial'], fittedAt: values['at'], fittedCycles: values['cycles'], ageAtFitting: values['ageAtFitting'] };
    await api.send('POST', '/fitted-parts', givenFields(part ? fitting : { ...fitting, note: values['note'] }));
  };
  return (
    <ActionDialog
      title={`${part ? 'Change' : 'Record'} the part: ${position.name}, door ${door.name}`}
      open
      onClose={onClose}
      submit={submit}
      submitWord={part ? 'Record the change' : 'Record the part'}
      done="The part has been recorded; new dates follow in a few seconds."
      defaults={{ at: now, another: true }}
      atDoor
    >
      <InstantInput source="at" label={part ? 'Changed at' : 'Fitted at'} timeZone={site.timeZone} />
      <CyclesInput source="cycles" label="Lifetime cycles of the door then" helperText="Left empty: taken from the counter’s history" />
      {part ? <SelectInput source="reason" label="Why the old one came out" choices={choicesOf(removalWords)} validate={required()} /> : null}
      <NoteInput label={part ? 'Note on the old part' : 'Note'} />
      {part ? <BooleanInput source="another" label="Another part was fitted in its place" /> : null}
      <FormDataConsumer>
        {({ formData }) =>
          part && formData['another'] === false ? null : (
            <>
              <TextInput source="serial" label={part ? 'Serial of the new part' : 'Serial of the part'} />
              <CyclesInput source="ageAtFitting" label="Cycles it had already run" helperText="Left empty: new" />
            </>
          )
        }
      </FormDataConsumer>
    </ActionDialog>
  );
}
