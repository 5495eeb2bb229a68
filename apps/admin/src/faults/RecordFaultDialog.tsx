import type { Door, FaultsTaken, Site } from '@lintel/contract';
import { AutocompleteInput, HttpError, ReferenceInput, required, useGetOne } from 'react-admin';
import { useWatch } from 'react-hook-form';
import { givenFields } from '../access/dataProvider.js';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { CyclesInput, InstantInput, NoteInput } from '../common/inputs.js';
import { useNow } from '../common/now.js';

interface RecordFaultDialogProps {
  /** Left out: the form asks for it. */
  door?: Door;
  onClose: () => void;
}

interface CodeChoice {
  code: string;
  name: string;
}

const codeLabel = ({ code, name }: CodeChoice): string => `${code} ${name}`;

/** One fault, as somebody saw it on the door. */
export function RecordFaultDialog({ door, onClose }: RecordFaultDialogProps) {
  const api = useApi();
  const now = useNow();
  const submit = async (values: Record<string, unknown>) => {
    const fault = givenFields({
      doorId: door?.id ?? values['doorId'], code: values['code'], at: values['at'], lifetimeCycles: values['lifetimeCycles'], note: values['note'],
    });
    const taken = await api.send<FaultsTaken>('POST', '/faults', { faults: [fault], source: 'form' });
    const refusal = taken.refused[0];
    if (refusal) throw new HttpError(`${refusal.field}: ${refusal.message}`, 400, { problem: null });
    if (taken.unchanged > 0) throw new HttpError('This fault is recorded already: the same code on the same door at the same time.', 409, { problem: null });
  };
  return (
    <ActionDialog
      title={door ? `Record a fault of door ${door.name}` : 'Record a fault'}
      open
      onClose={onClose}
      submit={submit}
      submitWord="Record the fault"
      done="The fault has been recorded."
      defaults={{ at: now }}
      atDoor
    >
      {door ? null : <DoorChoice />}
      <ReferenceInput source="code" reference="fault-codes" filter={{ archived: 'false' }} sort={{ field: 'code', order: 'ASC' }} perPage={100}>
        <AutocompleteInput label="Fault code" optionText={codeLabel} optionValue="code" filterToQuery={(text: string) => ({ q: text })} validate={required()} />
      </ReferenceInput>
      <When door={door} />
      <CyclesInput source="lifetimeCycles" label="Lifetime cycles then" helperText="Where you read them; otherwise they follow from the counter" />
      <NoteInput />
    </ActionDialog>
  );
}

function DoorChoice() {
  return (
    <ReferenceInput source="doorId" reference="doors" filter={{ state: 'in-service,out-of-service' }} sort={{ field: 'name', order: 'ASC' }} perPage={50}>
      <AutocompleteInput label="Door" optionText={({ name, siteName }: Door) => `${name}, ${siteName}`} filterToQuery={(text: string) => ({ q: text })} validate={required()} />
    </ReferenceInput>
  );
}

/** When it was, by the clock at the door's site; asked for once that is known. */
function When({ door }: { door: Door | undefined }) {
  const chosenId = useWatch({ name: 'doorId' }) as string | undefined;
  const { data: chosen } = useGetOne<Door>('doors', { id: chosenId ?? '' }, { enabled: door === undefined && Boolean(chosenId) });
  const siteId = (door ?? chosen)?.siteId;
  const { data: site } = useGetOne<Site>('sites', { id: siteId ?? '' }, { enabled: siteId !== undefined });
  return site ? <InstantInput source="at" label="When" timeZone={site.timeZone} /> : null;
}
