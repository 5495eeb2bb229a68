import { certificateLength, forceIn, forceUnit } from '@lintel/contract';
import type { CertificateCurve, CertificateForcePoint, CertificateForceTest, ForceMarks, ForceSample } from '@lintel/engine';
import { forceMarks, limitLine, residualAfterMs } from '@lintel/engine';
import type { Paper } from '../platform/pdf/index.js';

const HEIGHT = 112;
const GAP = 10;
const INK = '#14232e';
const SOFT = '#4a606e';
const LIMIT = '#b93a06';
const GRID = '#dde7ec';
/** Curves of one point: told apart by their dashes. */
const DASHES: readonly (readonly [number, number] | null)[] = [null, [4, 2], [1.5, 1.5]];

interface Frame {
  x: number;
  y: number;
  width: number;
  height: number;
  mostMs: number;
  mostNewton: number;
}

/** The recorded curves of each point against its limits, three plots a row; nothing where none was recorded. */
export function drawCurves(paper: Paper, test: CertificateForceTest, units: 'metric' | 'us'): void {
  const points = test.points.filter((point) => point.curves.length > 0 && point.limits !== null);
  if (points.length === 0) return;
  paper.text(`Force against time in seconds. Stepped line: limits of peak, static and residual force. ${forceUnit(units)}.`, { small: true });
  const width = (paper.width - 2 * GAP) / 3;
  for (let from = 0; from < points.length; from += 3) {
    const y = paper.reserve(HEIGHT + 8);
    for (const [column, point] of points.slice(from, from + 3).entries()) {
      drawPoint(paper, point, residualAfterMs(test.limits.rows), units, { x: paper.left + column * (width + GAP), y, width });
    }
    paper.y = y + HEIGHT + 8;
  }
}

function drawPoint(
  paper: Paper,
  point: CertificateForcePoint,
  residualFromMs: number,
  units: 'metric' | 'us',
  place: { x: number; y: number; width: number },
): void {
  const limits = point.limits!;
  const curves = point.curves.map(({ samples }) => fromContact(samples, { dynamicMs: limits.dynamicMs, residualAfterMs: residualFromMs }));
  const mostMs = Math.max(residualFromMs + 500, ...curves.map(({ samples }) => samples.at(-1)!.ms));
  const mostNewton = Math.max(limits.peakNewton * 1.15, ...curves.flatMap(({ samples }) => samples.map(({ newton }) => newton * 1.05)));
  paper.line(`${certificateLength(units, point.heightMm)}, ${point.across}`, place.x, place.y, { size: 7.5, bold: true });
  const frame: Frame = { x: place.x + 22, y: place.y + 12, width: place.width - 24, height: HEIGHT - 26, mostMs, mostNewton };
  drawAxes(paper, frame, limits.peakNewton, units);
  const { doc } = paper;
  doc.save();
  doc.rect(frame.x, frame.y, frame.width, frame.height).clip();
  drawLine(doc, frame, limitLine(limits, strictest(curves), 0, mostMs));
  doc.lineWidth(1).strokeColor(LIMIT).stroke();
  for (const [index, { samples }] of curves.entries()) {
    drawLine(doc, frame, samples);
    const dash = DASHES[index % DASHES.length];
    if (dash) doc.dash(dash[0], { space: dash[1] });
    doc.lineWidth(0.8).strokeColor(INK).stroke().undash();
  }
  doc.restore();
}

interface PlottedCurve {
  samples: readonly ForceSample[];
  marks: ForceMarks | undefined;
}

/** Curves are laid over one another at their contact, which becomes time 0; one that touched nothing at its first sample. */
function fromContact(samples: CertificateCurve['samples'], after: Parameters<typeof forceMarks>[1]): PlottedCurve {
  const curve = samples.map(([ms, newton]) => ({ ms, newton }));
  const originMs = forceMarks(curve, after)?.contactAtMs ?? curve[0]!.ms;
  const moved = curve.map(({ ms, newton }) => ({ ms: ms - originMs, newton }));
  return { samples: moved, marks: forceMarks(moved, after) };
}

/** One limit line serves all curves of a point: of their static phases the one that begins first, so that none looks better than it was judged. */
function strictest(curves: readonly PlottedCurve[]): ForceMarks | undefined {
  return curves.flatMap(({ marks }) => marks ?? []).toSorted((one, other) => one.staticFromMs - other.staticFromMs)[0];
}

function drawAxes(paper: Paper, frame: Frame, peakNewton: number, units: 'metric' | 'us'): void {
  const { doc } = paper;
  const style = { size: 6.5, colour: SOFT };
  for (const newton of [0, peakNewton / 2, peakNewton]) {
    const y = atForce(frame, newton);
    doc.moveTo(frame.x, y).lineTo(frame.x + frame.width, y).lineWidth(0.4).strokeColor(GRID).stroke();
    const label = String(forceIn(units, newton));
    paper.line(label, frame.x - 3 - paper.widthOf(label, style), y - 4, style);
  }
  for (let second = 0; second * 1000 <= frame.mostMs; second += 1) {
    const label = String(second);
    paper.line(label, atTime(frame, second * 1000) - paper.widthOf(label, style) / 2, frame.y + frame.height + 2, style);
  }
  doc.rect(frame.x, frame.y, frame.width, frame.height).lineWidth(0.5).strokeColor(SOFT).stroke();
}

const atTime = ({ x, width, mostMs }: Frame, ms: number): number => x + (width * ms) / mostMs;
const atForce = ({ y, height, mostNewton }: Frame, newton: number): number => y + height * (1 - newton / mostNewton);

function drawLine(doc: PDFKit.PDFDocument, frame: Frame, points: readonly ForceSample[]): void {
  for (const [index, { ms, newton }] of points.entries()) {
    if (index === 0) doc.moveTo(atTime(frame, ms), atForce(frame, newton));
    else doc.lineTo(atTime(frame, ms), atForce(frame, newton));
  }
}
