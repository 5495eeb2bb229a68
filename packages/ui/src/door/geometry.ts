export interface Box {
  x: number;
  y: number;
  width: number;
  height: number;
}

/** Where things are on the front elevation, in drawing units (pixels at the drawn size). */
export interface ElevationGeometry {
  /** The whole sheet: the drawing and room for dimensions and labels around it. */
  width: number;
  height: number;
  /** The drawing itself: positions stand at shares of its width and height. */
  sheet: Box;
  /** The clear opening, true to the door's width and height. */
  opening: Box;
  /** Housing of the roller above the opening. */
  head: Box;
  leftGuide: Box;
  rightGuide: Box;
  /** Control cabinet on the wall at the right. */
  cabinet: Box;
  floorY: number;
}

/** Shares of the drawing that the opening takes: the head above it, guides beside it, switchgear at the far right. */
const openingShare = { left: 0.1, right: 0.86, top: 0.13, bottom: 0.97 } as const;
const margin = { left: 44, right: 34, top: 10, bottom: 40 } as const;

/**
 * Lays out the front elevation of a door of the given clear width and height (mm) on a sheet at most `maxWidth` × `maxHeight`.
 * The opening keeps the door's own proportion exactly; everything around it is schematic.
 */
export function elevationGeometry(widthMm: number, heightMm: number, maxWidth: number, maxHeight: number): ElevationGeometry {
  const shareWidth = openingShare.right - openingShare.left;
  const shareHeight = openingShare.bottom - openingShare.top;
  const proportion = ((shareWidth / shareHeight) * heightMm) / widthMm;
  const roomX = maxWidth - margin.left - margin.right;
  const roomY = maxHeight - margin.top - margin.bottom;
  const width = Math.min(roomX, roomY / proportion);
  const height = width * proportion;
  const sheet = { x: margin.left, y: margin.top, width, height };
  const opening = {
    x: sheet.x + openingShare.left * width,
    y: sheet.y + openingShare.top * height,
    width: shareWidth * width,
    height: shareHeight * height,
  };
  const guideWidth = 0.045 * width;
  const guide = { y: opening.y - 0.012 * height, width: guideWidth, height: opening.height + 0.012 * height };
  return {
    width: width + margin.left + margin.right,
    height: height + margin.top + margin.bottom,
    sheet,
    opening,
    head: { x: sheet.x + 0.02 * width, y: sheet.y + 0.006 * height, width: 0.94 * width, height: 0.106 * height },
    leftGuide: { x: opening.x - guideWidth, ...guide },
    rightGuide: { x: opening.x + opening.width, ...guide },
    cabinet: { x: sheet.x + 0.93 * width, y: sheet.y + 0.22 * height, width: 0.085 * width, height: 0.24 * height },
    floorY: opening.y + opening.height,
  };
}
