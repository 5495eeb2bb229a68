import { useMemo } from 'react';
import type { MouseEvent } from 'react';
import { palette } from '../palette.js';
import { formatLength } from '../format/length.js';
import type { Units } from '../format/length.js';
import { asState, stateWords } from '../marks/words.js';
import { DimensionLines } from './DimensionLines.js';
import { DoorBody } from './DoorBody.js';
import type { DoorKindWord } from './DoorBody.js';
import { elevationGeometry } from './geometry.js';
import type { ElevationGeometry } from './geometry.js';
import { placeLabels } from './placeLabels.js';
import { PositionLabel, labelHeight, labelWidth } from './PositionLabel.js';
import type { ElevationPosition } from './PositionLabel.js';
import { useWidth } from './useWidth.js';

export interface DoorElevationProps {
  /** Name of the door, for the drawing's accessible name. */
  name: string;
  kind: DoorKindWord;
  heated: boolean;
  widthMm: number;
  heightMm: number;
  units: Units;
  /** Left out: the drawing of a type, which has no state. */
  state?: string | undefined;
  positions: readonly ElevationPosition[];
  selectedId?: string | null | undefined;
  onSelect?: ((id: string) => void) | undefined;
  /** A place on the drawing was pointed at: shares of its width and height. */
  onPlace?: ((drawnX: number, drawnY: number) => void) | undefined;
  /** Greatest height of the drawing in CSS pixels. */
  maxHeight?: number;
}

/**
 * Front elevation of a door, true to its width, height and kind. Every position stands at its drawn place and shows its
 * condition by shape, word and colour; it can be tapped and reached by the keyboard.
 */
export function DoorElevation(props: DoorElevationProps) {
  const [ref, available] = useWidth<HTMLDivElement>(640);
  const { widthMm, heightMm, positions, units, maxHeight = 620 } = props;
  const geometry = useMemo(() => elevationGeometry(widthMm, heightMm, available, maxHeight), [widthMm, heightMm, available, maxHeight]);
  const places = useMemo(
    () =>
      placeLabels(
        positions.map((position) => ({ ...pointAt(geometry, position.drawnX, position.drawnY), width: labelWidth(position), height: labelHeight })),
        geometry,
      ),
    [positions, geometry],
  );
  return (
    <div ref={ref} style={{ width: '100%' }}>
      {/* Whoever cannot point types the same two shares into the form beside the drawing. */}
      {/* oxlint-disable-next-line jsx-a11y/click-events-have-key-events, jsx-a11y/no-noninteractive-element-interactions */}
      <svg
        role="group"
        aria-label={`Front elevation of ${props.name}, ${props.kind} door, ${formatLength(units, widthMm)} wide, ${formatLength(units, heightMm)} high`}
        width={geometry.width}
        height={geometry.height}
        onClick={props.onPlace ? (event) => place(event, geometry, props.onPlace) : undefined}
        viewBox={`0 0 ${geometry.width} ${geometry.height}`}
        style={{ display: 'block', margin: '0 auto', fontFamily: 'inherit', borderRadius: 4, border: `1px solid ${palette.line}` }}
      >
        <style>{focusStyle}</style>
        <DoorBody geometry={geometry} kind={props.kind} heated={props.heated} />
        <DimensionLines geometry={geometry} widthMm={widthMm} heightMm={heightMm} units={units} />
        {props.state && asState(props.state) !== 'in-service' ? <StateBar geometry={geometry} state={props.state} /> : null}
        {positions.map((position, index) => (
          <PositionLabel
            key={position.id}
            position={position}
            point={pointAt(geometry, position.drawnX, position.drawnY)}
            place={places[index] ?? { x: 0, y: 0 }}
            selected={position.id === props.selectedId}
            onSelect={props.onSelect}
          />
        ))}
      </svg>
    </div>
  );
}

function pointAt({ sheet }: ElevationGeometry, drawnX: number, drawnY: number) {
  return { x: sheet.x + drawnX * sheet.width, y: sheet.y + drawnY * sheet.height };
}

/** The inverse of `pointAt` for a place on the screen, kept within the drawing. */
function place(event: MouseEvent<SVGSVGElement>, { width, height, sheet }: ElevationGeometry, onPlace: DoorElevationProps['onPlace']) {
  const box = event.currentTarget.getBoundingClientRect();
  const share = (value: number) => Math.round(Math.min(1, Math.max(0, value)) * 1000) / 1000;
  const x = ((event.clientX - box.left) / box.width) * width;
  const y = ((event.clientY - box.top) / box.height) * height;
  onPlace?.(share((x - sheet.x) / sheet.width), share((y - sheet.y) / sheet.height));
}

const focusStyle = `.lintel-position{outline:none}
.lintel-position:focus-visible .lintel-position-face{stroke:${palette.ink};stroke-width:3.5}
.lintel-position:hover .lintel-position-face{stroke:${palette.ink}}`;

/** A bar across the opening that says that the door is not in service. */
function StateBar({ geometry: { opening }, state }: { geometry: ElevationGeometry; state: string }) {
  const word = asState(state);
  const colour = word === 'out-of-service' ? palette.signal : palette.slate;
  const height = 34;
  const y = opening.y + opening.height * 0.62;
  return (
    <g>
      <rect x={opening.x} y={y} width={opening.width} height={height} fill={colour} />
      <text x={opening.x + opening.width / 2} y={y + 22} fill={palette.paper} fontSize={15} fontWeight={700} textAnchor="middle">
        {stateWords[word]}
      </text>
    </g>
  );
}
