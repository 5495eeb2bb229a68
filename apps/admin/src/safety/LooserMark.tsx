import { ConditionShape, palette } from '@lintel/ui';

/** A limit that was made looser: never without its shape and red words. */
export function LooserMark({ word }: { word: string }) {
  return (
    <span style={{ display: 'inline-flex', alignItems: 'center', gap: '0.4em', color: palette.signalDeep, fontWeight: 700 }}>
      <svg width="1em" height="1em" viewBox="0 0 16 16" aria-hidden="true" style={{ flex: 'none' }}>
        <ConditionShape condition="worn" />
      </svg>
      <span>{word}</span>
    </span>
  );
}
