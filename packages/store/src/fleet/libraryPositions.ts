import type { PartKind } from '@lintel/contract';
import type { LibraryPosition } from './libraryTypes.js';

type Rating = Pick<LibraryPosition, 'b10Cycles' | 'b10Months' | 'lifeShape' | 'shapeSpread' | 'ratingSpread' | 'ratingSource'>;

/**
 * The ratings are starting points of ours, of the order that the trade counts on (common practice, no source): hence the
 * wide spread, and the word to replace them. They hold only until a company's own failures or its makers' data say better.
 */
export const DEFAULT_RATING_SOURCE = "default, replace with the maker's";

const SPREADS = { shapeSpread: 0.25, ratingSpread: 0.5, ratingSource: DEFAULT_RATING_SOURCE };

/** A part that wears with every cycle. */
function byCycles(b10Cycles: number, lifeShape: number): Rating {
  return { b10Cycles, b10Months: null, lifeShape, ...SPREADS };
}

/** A part that ages whether the door moves or not. */
function byMonths(b10Months: number, lifeShape: number): Rating {
  return { b10Cycles: null, b10Months, lifeShape, ...SPREADS };
}

type Unordered = Omit<LibraryPosition, 'ordinal'>;

function position(
  kind: PartKind,
  name: string,
  drawn: readonly [x: number, y: number],
  rating: Rating,
  safetyDevice = false,
): Unordered {
  return { kind, name, safetyDevice, drawnX: drawn[0], drawnY: drawn[1], ...rating };
}

/** What every door has: seen from the front, drive at the top right, switchgear on the wall at the right. */
export const commonPositions: readonly Unordered[] = [
  position('drive-motor', 'Drive motor with brake', [0.92, 0.05], byCycles(1_500_000, 2)),
  position('frequency-converter', 'Frequency converter', [0.97, 0.27], byMonths(96, 1.8)),
  position('control-board', 'Control board', [0.97, 0.38], byMonths(120, 1.2)),
  position('position-encoder', 'Position encoder', [0.66, 0.06], byCycles(3_000_000, 1.5)),
  position('home-switch', 'Home switch', [0.9, 0.17], byCycles(2_000_000, 1.5)),
  position('drive-chain', 'Drive chain', [0.8, 0.06], byCycles(600_000, 2.5)),
  position('roller-bearings', 'Roller bearings', [0.08, 0.06], byCycles(1_000_000, 1.5)),
  position('fabric-panel', 'Layered fabric panel', [0.5, 0.46], byCycles(300_000, 2.2)),
  position('bottom-edge', 'Weighted bottom edge', [0.5, 0.94], byCycles(400_000, 2), true),
  position('slack-switch-left', 'Slack switch, left', [0.15, 0.94], byCycles(1_000_000, 1.5), true),
  position('slack-switch-right', 'Slack switch, right', [0.85, 0.94], byCycles(1_000_000, 1.5), true),
  position('light-beam', 'Safety beam, low in the guides', [0.05, 0.84], byMonths(84, 1.3), true),
  position('motion-sensor', 'Motion sensor', [0.5, 0.06], byMonths(96, 1.2), true),
  position('push-buttons', 'Push-buttons', [0.97, 0.6], byMonths(120, 1.2), true),
  position('sounder', 'Sounder', [0.22, 0.06], byMonths(96, 1.2), true),
  position('side-guides', 'Side guides and seals', [0.05, 0.6], byCycles(400_000, 2.5)),
  position('supply-isolator', 'Supply isolator', [0.97, 0.76], byMonths(240, 1.5)),
];

/** What keeps a freezer door's frame dry and free of ice. */
export const freezerPositions: readonly Unordered[] = [
  position('frame-fans', 'Frame fans', [0.05, 0.19], byMonths(48, 1.8)),
  position('supply-temperature-sensor', 'Temperature sensor, supply side', [0.05, 0.3], byMonths(120, 1.2)),
  position('frame-heating', 'Frame heating', [0.05, 0.42], byMonths(84, 1.8)),
  position('return-temperature-sensor', 'Temperature sensor, return side', [0.05, 0.72], byMonths(120, 1.2)),
];

/** Positions numbered in the order in which they are looked at. */
export function inOrder(positions: readonly Unordered[]): LibraryPosition[] {
  return positions.map((each, index) => ({ ...each, ordinal: index + 1 }));
}
