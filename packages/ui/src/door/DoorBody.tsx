import { palette } from '../palette.js';
import type { Box, ElevationGeometry } from './geometry.js';

export type DoorKindWord = 'freezer' | 'cooler' | 'dock';

const box = ({ x, y, width, height }: Box) => ({ x, y, width, height });

/** The door itself: wall, head with roller and drive, guides, curtain, cabinet, and what sets its kind apart. */
export function DoorBody({ geometry, kind, heated }: { geometry: ElevationGeometry; kind: DoorKindWord; heated: boolean }) {
  const { width, height, floorY } = geometry;
  const wall = { freezer: '#e6f0f4', cooler: '#eef3ef', dock: '#efedea' }[kind];
  return (
    <g stroke={palette.slate} strokeWidth={1.2}>
      <rect x={0} y={0} width={width} height={floorY} fill={wall} stroke="none" />
      {kind === 'dock' ? <BrickCourses geometry={geometry} /> : <WallPanels geometry={geometry} />}
      <rect x={0} y={floorY} width={width} height={height - floorY} fill="#d5dde1" stroke="none" />
      <path d={`M0 ${floorY}H${width}`} strokeWidth={2} />
      {heated ? <HeatedFrame geometry={geometry} /> : null}
      <Curtain geometry={geometry} />
      <Head geometry={geometry} />
      <rect {...box(geometry.leftGuide)} fill={palette.frost} />
      <rect {...box(geometry.rightGuide)} fill={palette.frost} />
      <WallGear geometry={geometry} />
      {kind === 'dock' ? <DockBuffers geometry={geometry} /> : null}
    </g>
  );
}

/** On the wall at the right: control cabinet, push-buttons, isolator, joined by their conduit up to the drive. */
function WallGear({ geometry: { cabinet, sheet, head } }: { geometry: ElevationGeometry }) {
  const x = cabinet.x + cabinet.width / 2;
  const small = { width: cabinet.width * 0.62, height: sheet.height * 0.07 };
  return (
    <g fill={palette.paper}>
      <path d={`M${x} ${head.y + head.height}V${sheet.y + sheet.height * 0.8}`} stroke={palette.slateSoft} strokeWidth={3} />
      <rect {...box(cabinet)} rx={2} />
      <path d={`M${cabinet.x + cabinet.width * 0.2} ${cabinet.y + cabinet.height * 0.5}h${cabinet.width * 0.6}`} stroke={palette.line} />
      <rect x={x - small.width / 2} y={sheet.y + sheet.height * 0.565} {...small} rx={2} />
      <rect x={x - small.width / 2} y={sheet.y + sheet.height * 0.725} {...small} rx={2} fill={palette.frostDeep} />
    </g>
  );
}

function WallPanels({ geometry }: { geometry: ElevationGeometry }) {
  const panels = Math.max(4, Math.round(geometry.width / 110));
  return (
    <g stroke={palette.lineSoft} strokeWidth={1}>
      {Array.from({ length: panels - 1 }, (_, index) => (
        <path key={index} d={`M${((index + 1) * geometry.width) / panels} 0V${geometry.floorY}`} />
      ))}
    </g>
  );
}

function BrickCourses({ geometry }: { geometry: ElevationGeometry }) {
  const course = 22;
  const rows = Math.ceil(geometry.floorY / course);
  return (
    <g stroke="#dcd8d2" strokeWidth={1}>
      {Array.from({ length: rows }, (_, row) => (
        <path key={row} d={`M0 ${geometry.floorY - row * course}H${geometry.width}`} />
      ))}
    </g>
  );
}

function Curtain({ geometry: { opening } }: { geometry: ElevationGeometry }) {
  const drop = opening.height * 0.955;
  const seams = 5;
  const window = { x: opening.x + opening.width * 0.2, y: opening.y + opening.height * 0.36, width: opening.width * 0.6, height: opening.height * 0.13 };
  const edge = Math.max(6, opening.height * 0.028);
  return (
    <g>
      <rect data-part="opening" {...box(opening)} fill="#2d3f4b" />
      <rect x={opening.x} y={opening.y} width={opening.width} height={drop} fill="#c4d5dd" />
      {Array.from({ length: seams }, (_, index) => (
        <path
          key={index}
          d={`M${opening.x} ${opening.y + ((index + 1) * drop) / (seams + 1)}h${opening.width}`}
          stroke="#a9bfc9"
          strokeWidth={1.4}
        />
      ))}
      <rect {...box(window)} fill="#e9f4f8" stroke="#8ea7b3" rx={4} />
      <rect x={opening.x} y={opening.y + drop - edge} width={opening.width} height={edge} fill={palette.inkSoft} stroke="none" />
      <path d={`M${opening.x} ${opening.y + drop - edge / 2}h${opening.width}`} stroke={palette.frost} strokeWidth={edge / 3} strokeDasharray={`${edge * 1.4} ${edge * 1.4}`} />
    </g>
  );
}

function Head({ geometry: { head } }: { geometry: ElevationGeometry }) {
  const rollerHeight = head.height * 0.5;
  const rollerY = head.y + (head.height - rollerHeight) / 2;
  const driveWidth = head.width * 0.13;
  return (
    <g>
      <rect {...box(head)} fill={palette.frostDeep} rx={3} />
      <rect x={head.x + head.width * 0.08} y={rollerY} width={head.width * 0.72} height={rollerHeight} fill="#b8cad3" rx={rollerHeight / 2} />
      <path d={`M${head.x + head.width * 0.08} ${rollerY + rollerHeight / 2}h${head.width * 0.72}`} stroke="#94abb7" />
      <rect x={head.x + head.width * 0.83} y={head.y + head.height * 0.16} width={driveWidth} height={head.height * 0.68} fill={palette.slate} rx={2} />
    </g>
  );
}

/** The warmed second frame of a freezer door, drawn as a warm line round the opening with its supply above. */
function HeatedFrame({ geometry: { opening, width, floorY } }: { geometry: ElevationGeometry }) {
  const out = 0.055 * width;
  return (
    <g fill="none">
      <path
        d={`M${opening.x - out} ${floorY}V${opening.y - out * 0.15}H${opening.x + opening.width + out}V${floorY}`}
        stroke="#b9a08c"
        strokeWidth={out * 0.42}
      />
      <path
        d={`M${opening.x - out} ${floorY}V${opening.y - out * 0.15}H${opening.x + opening.width + out}V${floorY}`}
        stroke="#f2e5da"
        strokeWidth={1.4}
        strokeDasharray="2 5"
      />
    </g>
  );
}

function DockBuffers({ geometry: { leftGuide, rightGuide, floorY, width } }: { geometry: ElevationGeometry }) {
  const size = { width: 0.03 * width, height: 0.065 * width };
  return (
    <g fill={palette.ink} stroke="none">
      <rect x={leftGuide.x - size.width * 1.3} y={floorY - size.height} {...size} />
      <rect x={rightGuide.x + rightGuide.width + size.width * 0.3} y={floorY - size.height} {...size} />
    </g>
  );
}
