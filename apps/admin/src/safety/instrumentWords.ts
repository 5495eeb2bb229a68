import type { InstrumentKindWord } from '@lintel/contract';

export const instrumentKindWords: Record<InstrumentKindWord, string> = {
  'force-gauge': 'Force gauge',
  multimeter: 'Multimeter',
  'voltage-tester': 'Voltage tester',
  other: 'Other',
};

export const gaugeFieldWords = {
  samplingHertz: 'Samples a second, Hz',
  accuracyPercent: 'Accuracy, %',
  rangeFromNewton: 'Range from, N',
  rangeToNewton: 'Range to, N',
  springNewtonPerMm: 'Spring, N/mm',
  discMm: 'Contact disc, mm',
} as const;
