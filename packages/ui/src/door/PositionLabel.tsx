import type { KeyboardEvent } from 'react';
import { palette } from '../palette.js';
import { ConditionShape, conditionColours } from '../marks/shapes.js';
import { asCondition, conditionWords } from '../marks/words.js';
import type { PlacedLabel } from './placeLabels.js';

/** A position as the drawing shows it. */
export interface ElevationPosition {
  id: string;
  name: string;
  /** Shares of the drawing's width from the left and of its height from the top. */
  drawnX: number;
  drawnY: number;
  /** Condition of the part fitted there; null: no part is fitted. */
  condition: string | null;
  /** Shown instead of the condition's word, e.g. a number on the drawing of a type. */
  word?: string | undefined;
  /** When its end comes, as shares of the span that the drawing's marks stand for (0: now, 1: its end or later): early, middle, late. */
  life?: { early: number; middle: number; late: number } | undefined;
  /** More for the accessible name, e.g. the likely date of its end. */
  detail?: string | undefined;
}

export function labelWord(position: ElevationPosition): string {
  if (position.word !== undefined) return position.word;
  return position.condition === null ? 'no part' : conditionWords[asCondition(position.condition)];
}

/** Width of a label in drawing units: mark, word, padding. */
export function labelWidth(position: ElevationPosition): number {
  return (position.word === undefined ? 30 : 14) + labelWord(position).length * 6.6;
}

export const labelHeight = 24;

interface LabelProps {
  position: ElevationPosition;
  point: { x: number; y: number };
  place: PlacedLabel;
  selected: boolean;
  onSelect: ((id: string) => void) | undefined;
}

/** One position: a dot where it is, and a label that can be tapped and reached by the keyboard. */
export function PositionLabel({ position, point, place, selected, onSelect }: LabelProps) {
  const condition = asCondition(position.condition);
  const colour = position.condition === null ? palette.slateSoft : conditionColours[condition];
  const width = labelWidth(position);
  const away = Math.hypot(place.x - point.x, place.y - point.y) > 7;
  const choose = () => onSelect?.(position.id);
  const byKey = (event: KeyboardEvent) => {
    if (event.key !== 'Enter' && event.key !== ' ') return;
    event.preventDefault();
    choose();
  };
  const accessible = `${position.name}: ${labelWord(position)}${position.detail ? `, ${position.detail}` : ''}`;
  return (
    <g
      role="button"
      tabIndex={0}
      aria-label={accessible}
      aria-pressed={selected}
      data-position={position.id}
      className="lintel-position"
      style={{ cursor: 'pointer' }}
      onClick={choose}
      onKeyDown={byKey}
    >
      <title>{accessible}</title>
      {away ? <path d={`M${point.x} ${point.y}L${place.x} ${place.y}`} stroke={palette.inkSoft} strokeWidth={1} /> : null}
      {away ? <circle cx={point.x} cy={point.y} r={3} fill={colour} stroke={palette.paper} strokeWidth={1} /> : null}
      <rect
        className="lintel-position-face"
        x={place.x - width / 2}
        y={place.y - labelHeight / 2}
        width={width}
        height={labelHeight}
        rx={4}
        fill={condition === 'worn' ? palette.signalSoft : palette.paper}
        stroke={selected ? palette.ink : colour}
        strokeWidth={selected ? 3 : condition === 'worn' ? 2 : 1.2}
      />
      {position.word === undefined ? (
        <g transform={`translate(${place.x - width / 2 + 5} ${place.y - (position.life ? 9.5 : 7)}) scale(0.875)`}>
          <ConditionShape condition={condition} />
        </g>
      ) : null}
      {position.life ? <LifeTrack life={position.life} colour={colour} x={place.x - width / 2 + 5} y={place.y + labelHeight / 2 - 4.5} width={width - 10} /> : null}
      <text
        x={place.x - width / 2 + (position.word === undefined ? 23 : 7)}
        y={place.y + (position.life ? 2 : 4)}
        fontSize={12}
        fontWeight={condition === 'worn' || selected ? 700 : 550}
        fill={colour}
      >
        {labelWord(position)}
      </text>
    </g>
  );
}

interface LifeTrackProps {
  life: NonNullable<ElevationPosition['life']>;
  colour: string;
  x: number;
  y: number;
  width: number;
}

/** From now at the left to the end of the span at the right: four chances in five as a band, even odds as a tick. */
function LifeTrack({ life: { early, middle, late }, colour, x, y, width }: LifeTrackProps) {
  const [from, at, to] = [early, middle, late].map((share) => x + Math.min(1, Math.max(0, share)) * width) as [number, number, number];
  return (
    <g data-part="life">
      <path d={`M${x} ${y}h${width}`} stroke={palette.line} strokeWidth={1} />
      {early < 1 ? <path d={`M${from} ${y}H${Math.max(from + 1.5, to)}`} stroke={colour} strokeWidth={3} opacity={0.45} /> : null}
      {middle < 1 ? <path d={`M${at} ${y - 2.5}v5`} stroke={colour} strokeWidth={2} /> : null}
    </g>
  );
}
