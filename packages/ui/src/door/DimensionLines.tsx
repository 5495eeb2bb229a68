import { palette } from '../palette.js';
import { formatLength } from '../format/length.js';
import type { Units } from '../format/length.js';
import type { ElevationGeometry } from './geometry.js';

/** Clear width below the floor line and clear height at the left, as on a drawing. */
export function DimensionLines({ geometry, widthMm, heightMm, units }: { geometry: ElevationGeometry; widthMm: number; heightMm: number; units: Units }) {
  const { opening, floorY, height } = geometry;
  const y = floorY + (height - floorY) * 0.55;
  const x = 16;
  const right = opening.x + opening.width;
  const text = { fontSize: 12, fill: palette.ink, textAnchor: 'middle' as const, fontWeight: 600 };
  return (
    <g stroke={palette.inkSoft} strokeWidth={1} fill="none">
      <path d={`M${opening.x} ${y - 5}v10M${right} ${y - 5}v10M${opening.x} ${y}H${right}`} />
      <path d={`M${x - 5} ${opening.y}h10M${x - 5} ${floorY}h10M${x} ${opening.y}V${floorY}`} />
      <text {...text} stroke={'#d5dde1'} strokeWidth={5} paintOrder="stroke" x={opening.x + opening.width / 2} y={y + 4}>
        {formatLength(units, widthMm)}
      </text>
      <text
        {...text}
        stroke={palette.frost}
        strokeWidth={5}
        paintOrder="stroke"
        transform={`translate(${x + 4} ${(opening.y + floorY) / 2}) rotate(-90)`}
      >
        {formatLength(units, heightMm)}
      </text>
    </g>
  );
}
