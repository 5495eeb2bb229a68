import type { ForceLimitId, ForceLimitRow } from '@lintel/engine';

export const limitGroups: readonly { title: string; note: string; rows: Partial<Record<ForceLimitId, string>> }[] = [
  {
    title: 'Closing force',
    note: 'Judged at every measuring point by the mean of its readings',
    rows: {
      'peak-vertical-near': 'Peak, vertically moving, gap 50 to 500 mm',
      'peak-vertical-far': 'Peak, vertically moving, gap over 500 mm',
      'peak-horizontal-near': 'Peak, horizontally moving, gap 50 to 500 mm',
      'peak-horizontal-far': 'Peak, horizontally moving, gap over 500 mm',
      'peak-flat-areas': 'Peak between flat areas',
      dynamic: 'Time over 150 N',
      static: 'Force after that time',
      residual: 'Force that stays',
      'residual-after': 'From when on a force counts as staying',
      readings: 'Readings at each point',
    },
  },
  {
    title: 'Measuring points',
    note: 'For vertically moving doors',
    rows: {
      'point-height-low': 'Lowest height over the floor',
      'point-height-middle': 'Middle height',
      'point-height-high': 'Highest height',
      'point-low-opening': 'Opening up to which the highest point lies below fully open',
      'point-below-open': 'How far below fully open',
      'point-from-side': 'Distance from each side',
    },
  },
  {
    title: 'Force gauge',
    note: 'A gauge that lacks one of these is refused for a force test',
    rows: {
      'gauge-disc': 'Contact disc',
      'gauge-spring': 'Spring',
      'gauge-spring-tolerance': 'Tolerance of the spring',
      'gauge-range-from': 'Start of the range',
      'gauge-range-to': 'End of the range',
      'gauge-sampling': 'Samples a second',
      'gauge-accuracy': 'Accuracy',
      'gauge-calibration': 'Interval of calibration',
    },
  },
];

const allWords = Object.assign({}, ...limitGroups.map(({ rows }) => rows)) as Record<ForceLimitId, string>;
export const limitWord = (id: ForceLimitId): string => allWords[id];

export const boundWords: Record<ForceLimitRow['bound'], string> = { most: 'at most', least: 'at least', exact: 'exactly' };

export const limitValue = (value: number, unit: ForceLimitRow['unit']): string => `${value.toLocaleString('en')} ${unit}`;
