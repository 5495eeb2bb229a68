export interface LabelRequest {
  /** Where the thing is. */
  x: number;
  y: number;
  width: number;
  height: number;
}

export interface PlacedLabel {
  /** Centre of the label. */
  x: number;
  y: number;
}

const rounds = 200;

/**
 * Moves labels apart until none covers another, each as near to its own point as that allows, all inside the drawing.
 * Pairs that overlap are pushed apart along the shorter way; the same input gives the same places. O(rounds × n²), n ≤ 40.
 */
export function placeLabels(requests: readonly LabelRequest[], area: { width: number; height: number }, gap = 3): PlacedLabel[] {
  const placed = requests.map(({ x, y }) => ({ x, y }));
  const keepInside = () => {
    placed.forEach((label, index) => {
      const { width = 0, height = 0 } = requests[index] ?? {};
      label.x = Math.min(Math.max(label.x, width / 2 + 1), area.width - width / 2 - 1);
      label.y = Math.min(Math.max(label.y, height / 2 + 1), area.height - height / 2 - 1);
    });
  };
  keepInside();
  for (let round = 0; round < rounds; round++) {
    if (!pushApart(requests, placed, gap)) break;
    keepInside();
  }
  return placed;
}

function pushApart(requests: readonly LabelRequest[], placed: PlacedLabel[], gap: number): boolean {
  let moved = false;
  for (let i = 0; i < placed.length; i++) {
    for (let j = i + 1; j < placed.length; j++) {
      const [a, b, ra, rb] = [placed[i], placed[j], requests[i], requests[j]];
      if (!a || !b || !ra || !rb) continue;
      const overlapX = (ra.width + rb.width) / 2 + gap - Math.abs(a.x - b.x);
      const overlapY = (ra.height + rb.height) / 2 + gap - Math.abs(a.y - b.y);
      if (overlapX <= 0.01 || overlapY <= 0.01) continue;
      moved = true;
      if (overlapY <= overlapX) {
        const push = (a.y <= b.y ? -overlapY : overlapY) / 2;
        a.y += push;
        b.y -= push;
      } else {
        const push = (a.x <= b.x ? -overlapX : overlapX) / 2;
        a.x += push;
        b.x -= push;
      }
    }
  }
  return moved;
}
