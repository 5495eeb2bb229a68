import type { FaultKind, FaultRate, FaultTrend, TrendWord } from '@lintel/contract';
import { count, formatChance, formatDate, palette } from '@lintel/ui';
import type { ReactNode } from 'react';

export const faultKindWords: Record<FaultKind, string> = {
  drive: 'Drive',
  'position-sensing': 'Position sensing',
  'safety-device': 'Safety device',
  activation: 'Activation',
  heating: 'Heating',
  supply: 'Supply',
  communication: 'Communication',
  mechanical: 'Mechanical',
};

export const faultSourceWords: Record<'form' | 'file' | 'post' | 'wire', string> = {
  form: 'typed in',
  file: 'from a file',
  post: 'sent by a machine',
  wire: 'by wire',
};

export const trendWords: Record<TrendWord, string> = {
  worse: 'getting worse',
  steady: 'steady',
  better: 'getting better',
  'too-little': 'too little to say',
};

const trendShapes: Record<TrendWord, { colour: string; shape: ReactNode }> = {
  worse: { colour: palette.signal, shape: <path d="M1.5 13.5 6 9l3 3 5-8M14 8.5V3.5H9.4" fill="none" stroke={palette.signal} strokeWidth={2.4} /> },
  steady: { colour: palette.ice, shape: <path d="M1.5 8h13" fill="none" stroke={palette.ice} strokeWidth={2.6} /> },
  better: { colour: palette.ice, shape: <path d="M1.5 3 6 7.5l3-3 5 7.5M14 7.5v5H9.4" fill="none" stroke={palette.ice} strokeWidth={2.2} /> },
  'too-little': {
    colour: palette.slateSoft,
    shape: (
      <g fill={palette.slateSoft}>
        <circle cx={2.6} cy={8} r={1.7} />
        <circle cx={8} cy={8} r={1.7} />
        <circle cx={13.4} cy={8} r={1.7} />
      </g>
    ),
  },
};

/** Which way a door goes: shape, word and colour. */
export function TrendMark({ verdict }: { verdict: TrendWord }) {
  const { colour, shape } = trendShapes[verdict];
  return (
    <span style={{ display: 'inline-flex', alignItems: 'center', gap: '0.4em', whiteSpace: 'nowrap', color: colour, fontWeight: verdict === 'worse' ? 700 : 500 }}>
      <svg width="1em" height="1em" viewBox="0 0 16 16" aria-hidden="true" style={{ flex: 'none' }}>
        {shape}
      </svg>
      <span>{trendWords[verdict]}</span>
    </span>
  );
}

const small = (chance: number): string => (chance < 0.01 ? 'under 1 %' : formatChance(chance));

/** The verdict on one door as a sentence. */
export function trendSentence({ verdict, events, pValue, watchedFrom }: Pick<FaultTrend, 'verdict' | 'events' | 'pValue' | 'watchedFrom'>): string {
  const since = watchedFrom === null ? '' : ` since ${formatDate(watchedFrom)}`;
  const luck = pValue === null ? '' : ` By luck alone a door would look so with a chance of ${small(pValue)}.`;
  switch (verdict) {
    case 'worse':
      return `Getting worse: ${count(events, 'fault')}${since}, and they come closer and closer together.${luck}`;
    case 'better':
      return `Getting better: ${count(events, 'fault')}${since}, and they come further and further apart.${luck}`;
    case 'steady':
      return `Steady: ${count(events, 'fault')}${since}, neither closer together nor further apart than luck explains.`;
    case 'too-little':
      return events === 0 ? `No fault${since} to judge by.` : `Too little to say: ${count(events, 'fault')}${since}.`;
  }
}

/** A rate and its interval: `0.12 (0.08 to 0.17)`. */
export function rateWords(rate: FaultRate): string {
  if (rate === null) return 'no cycles known';
  return `${figures(rate.per1000)} (${figures(rate.low)} to ${figures(rate.high)})`;
}

export const figures = (value: number): string => (value === 0 ? '0' : String(Number(value.toPrecision(2))));
