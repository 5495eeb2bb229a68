export interface Box {
  x: number;
  y: number;
  width: number;
  height: number;
}

/** Where things are on the front elevation, in drawing units (pixels at the drawn size). */
export interface ElevationGeometry {
  width: number;
  height: number;
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

/** Shares of the drawing that the opening takes; positions are placed on the same paper by the same shares. */
const openingShare = { left: 0.15, right: 0.8, top: 0.24, bottom: 0.92 } as const;

/**
 * Lays out the front elevation of a door of the given clear width and height (mm) on a drawing at most `maxWidth` × `maxHeight`.
 * The opening keeps the door's own proportion exactly; everything around it is schematic.
 */
export function elevationGeometry(widthMm: number, heightMm: number, maxWidth: number, maxHeight: number): ElevationGeometry {
  const shareWidth = openingShare.right - openingShare.left;
  const shareHeight = openingShare.bottom - openingShare.top;
  const proportion = ((shareWidth / shareHeight) * heightMm) / widthMm;
  const width = Math.min(maxWidth, maxHeight / proportion);
  const height = width * proportion;
  const opening = {
    x: openingShare.left * width,
    y: openingShare.top * height,
    width: shareWidth * width,
    height: shareHeight * height,
  };
  const guideWidth = 0.028 * width;
  const headHeight = Math.min(0.15 * height, 0.2 * width);
  const guide = { y: opening.y - 0.02 * height, width: guideWidth, height: opening.height + 0.02 * height };
  return {
    width,
    height,
    opening,
    head: { x: opening.x - 0.06 * width, y: opening.y - headHeight - 0.02 * height, width: opening.width + 0.12 * width, height: headHeight },
    leftGuide: { x: opening.x - guideWidth, ...guide },
    rightGuide: { x: opening.x + opening.width, ...guide },
    cabinet: { x: 0.872 * width, y: 0.4 * height, width: 0.105 * width, height: Math.min(0.24 * height, 0.2 * width) },
    floorY: opening.y + opening.height,
  };
}
