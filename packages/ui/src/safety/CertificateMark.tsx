import { certificateStateWords, type CertificateState } from '@lintel/contract';
import { Mark } from '../marks/Mark.js';
import { paint, paintOf, palette } from '../palette.js';

const colours: Record<CertificateState, string> = { valid: palette.ice, superseded: palette.slateSoft, withdrawn: palette.signal };

/** State of a certificate: a sealed sheet, the same behind a newer one, or struck out; its meaning as the title. */
export function CertificateMark({ state }: { state: CertificateState }) {
  const colour = paintOf(colours[state]);
  const { word, meaning } = certificateStateWords[state];
  return (
    <Mark
      shape={
        state === 'valid' ? (
          <g fill="none" stroke={colour} strokeWidth={1.8}>
            <path d="M2.5 1.5h11v13h-11Z" fill={paint.paper} />
            <path d="M5 8.4 7.2 10.6 11.2 5.6" strokeWidth={2} />
          </g>
        ) : state === 'superseded' ? (
          <g fill="none" stroke={colour} strokeWidth={1.8}>
            <path d="M1.5 1.5h9v11h-9Z" strokeDasharray="2.4 1.6" />
            <path d="M5.5 4.5h9v10.5h-9Z" fill={paint.paper} />
          </g>
        ) : (
          <g fill="none" stroke={colour} strokeWidth={1.8}>
            <path d="M2.5 1.5h11v13h-11Z" fill={paint.paper} />
            <path d="M4.5 4.5l7 7M11.5 4.5l-7 7" strokeWidth={2.4} />
          </g>
        )
      }
      word={word.toLowerCase()}
      colour={colours[state]}
      strong={state === 'withdrawn'}
      title={meaning}
    />
  );
}
