import type { FittedPart } from '@lintel/contract';
import type { PartFitted, PartRemoved } from '@lintel/engine';
import { ConditionMark, formatDate } from '@lintel/ui';
import { useState } from 'react';
import { ScanField } from '../fleet/ScanField.js';
import { useDraft } from '../keep/drafts.js';
import { type StepInputProps, typedCount } from './types.js';

type Reason = NonNullable<FittedPart['removalReason']>;
/** Why a part came out. Words of the trade. */
export const reasonWords: Record<Exclude<Reason, 'entered-in-error'>, string> = {
  failed: 'Failed', worn: 'Worn out', preventive: 'As a precaution', damaged: 'Damaged from outside', upgraded: 'Replaced by a better one',
};

interface PartDraft {
  reason: string;
  oldSerial: string;
  fits: boolean;
  newSerial: string;
  used: string;
}
const blank: PartDraft = { reason: '', oldSerial: '', fits: true, newSerial: '', used: '' };

export function PartInput(props: StepInputProps<'fit-part'>) {
  const { draft, keep } = useDraft<PartDraft>(props.draftKey);
  // The form begins with what was half entered: only once that has been read.
  return draft === undefined ? null : <PartForm {...props} begun={draft} onEdit={keep} />;
}

function PartForm({ view, step, value, onAnswer, begun, onEdit }: StepInputProps<'fit-part'> & {
  begun: PartDraft | null; onEdit: (draft: PartDraft) => Promise<void>;
}) {
  const fitted = view.door?.parts.find((part) => part.positionId === step.positionId && part.fitted);
  const [entered, setEntered] = useState<PartDraft>(() => begun ?? entry(value) ?? { ...blank, oldSerial: fitted?.serial ?? '' });
  const set = (change: Partial<PartDraft>): void => {
    const next = { ...entered, ...change };
    setEntered(next);
    void onEdit(next);
  };
  return (
    <form className="entry" onSubmit={(event) => { event.preventDefault(); void onAnswer({ kind: 'fit-part', ...answer(entered) }); }}>
      <p className="hint">
        {fitted ? <>On the door: {fitted.serial ? `serial ${fitted.serial}` : 'serial not known'}, since {formatDate(fitted.fittedAt)}. <ConditionMark condition={fitted.condition} /></> : 'No part is known at this position.'}
      </p>
      <fieldset className="choice">
        <legend>Why the old one came out</legend>
        {Object.entries(reasonWords).map(([reason, word]) => (
          <button key={reason} type="button" className="button" aria-pressed={entered.reason === reason} onClick={() => set({ reason: entered.reason === reason ? '' : reason })}>{word}</button>
        ))}
      </fieldset>
      {entered.reason === '' ? null : <ScanField label="Serial of the old part" value={entered.oldSerial} onChange={(oldSerial) => set({ oldSerial })} />}
      <fieldset className="choice">
        <legend>A new one fitted?</legend>
        <button type="button" className="button" aria-pressed={entered.fits} onClick={() => set({ fits: true })}>Fitted</button>
        <button type="button" className="button" aria-pressed={!entered.fits} onClick={() => set({ fits: false })}>Position left empty</button>
      </fieldset>
      {entered.fits ? (
        <>
          <ScanField label="Serial of the new part" value={entered.newSerial} onChange={(newSerial) => set({ newSerial })} />
          <label>Cycles it had done elsewhere, if it is not new<input inputMode="numeric" value={entered.used} onChange={(event) => set({ used: event.target.value })} /></label>
        </>
      ) : null}
      <button type="submit" className="button first">Keep it</button>
    </form>
  );
}

function entry(value: StepInputProps<'fit-part'>['value']): PartDraft | null {
  if (!value) return null;
  const { removed, fitted } = value;
  return {
    reason: removed?.reason ?? '', oldSerial: removed?.serial ?? '', fits: fitted !== undefined,
    newSerial: fitted?.serial ?? '', used: fitted?.ageCycles === undefined ? '' : String(fitted.ageCycles),
  };
}

function answer({ reason, oldSerial, fits, newSerial, used }: PartDraft): { removed?: PartRemoved; fitted?: PartFitted } {
  const serial = (text: string): { serial?: string } => (text.trim() === '' ? {} : { serial: text.trim() });
  return {
    ...(reason !== '' && { removed: { reason, ...serial(oldSerial) } }),
    ...(fits && { fitted: { ...serial(newSerial), ...(used.trim() !== '' && { ageCycles: typedCount(used) }) } }),
  };
}
