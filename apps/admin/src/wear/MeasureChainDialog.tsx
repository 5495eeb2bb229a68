import type { ChainLifeView, Site } from '@lintel/contract';
import { formatInstant } from '@lintel/ui';
import { NumberInput, required } from 'react-admin';
import { givenFields } from '../access/dataProvider.js';
import { useApi } from '../access/hooks.js';
import { ActionDialog } from '../common/ActionDialog.js';
import { CyclesInput, InstantInput, NoteInput } from '../common/inputs.js';
import { useNow } from '../common/now.js';

/** A measurement that another one may stand in place of. */
export interface Correctable {
  id: string;
  measuredAt: string;
}

interface MeasureChainDialogProps {
  chain: ChainLifeView;
  corrects: Correctable | null;
  site: Site;
  onClose: () => void;
}

/** Records how long a chain was found to be, or puts a mistyped measurement right. */
export function MeasureChainDialog({ chain, corrects, site, onClose }: MeasureChainDialogProps) {
  const api = useApi();
  const now = useNow();
  const submit = (values: Record<string, unknown>) =>
    api.send('POST', '/chain-measurements', givenFields({ ...values, fittedPartId: chain.fittedPartId, correctsId: corrects?.id }));
  return (
    <ActionDialog
      title={corrects ? `Correct the measurement of ${formatInstant(corrects.measuredAt, site.timeZone)}` : `Record a measurement: ${chain.positionName}`}
      open
      onClose={onClose}
      submit={submit}
      submitWord={corrects ? 'Record the right one' : 'Record the measurement'}
      done="The measurement has been recorded."
      defaults={{ measuredAt: corrects?.measuredAt ?? now, pitchMm: chain.pitchMm }}
      atDoor
    >
      <InstantInput source="measuredAt" label="Measured at" timeZone={site.timeZone} />
      <NumberInput source="pitches" label="Pitches measured over" min={1} step={1} validate={required()} helperText="The more the surer; 20 or so. Common practice" />
      <NumberInput source="lengthMm" label="Length over them, mm" min={0} step={0.1} validate={required()} />
      <NumberInput source="pitchMm" label="Nominal pitch, mm" min={0} step={0.001} validate={required()} />
      <CyclesInput source="lifetimeCycles" label="Lifetime cycles of the door then" helperText="Left empty: taken from the counter’s history" />
      <NoteInput />
    </ActionDialog>
  );
}
