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
        <g transform={`translate(${place.x - width / 2 + 5} ${place.y - 7}) scale(0.875)`}>
          <ConditionShape condition={condition} />
        </g>
      ) : null}
      <text
        x={place.x - width / 2 + (position.word === undefined ? 23 : 7)}
        y={place.y + 4}
        fontSize={12}
        fontWeight={condition === 'worn' || selected ? 700 : 550}
        fill={colour}
      >
        {labelWord(position)}
      </text>
    </g>
  );
}
