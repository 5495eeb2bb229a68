import { palette } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { useRef } from 'react';
import type { ReactNode } from 'react';
import { csvOf, offer, pngOf, svgOf } from './chartExport.js';

interface ChartFrameProps {
  /** What the chart shows, for those who cannot see it. */
  summary: string;
  /** Name of the files, without ending. */
  fileName: string;
  /** What the chart is drawn from, a row a point. */
  rows: readonly Record<string, string | number | null>[];
  legend?: ReactNode;
  children: ReactNode;
}

/** A chart that can be taken away: as a drawing, as a picture, or as the figures behind it. */
export function ChartFrame({ summary, fileName, rows, legend, children }: ChartFrameProps) {
  const box = useRef<HTMLDivElement>(null);
  const drawing = () => box.current?.querySelector<SVGSVGElement>('svg.recharts-surface') ?? null;
  const save = async (ending: 'svg' | 'png') => {
    const svg = drawing();
    if (svg) offer(ending === 'svg' ? svgOf(svg) : await pngOf(svg), `${fileName}.${ending}`);
  };
  return (
    <Box>
      {legend}
      <Box ref={box} role="img" aria-label={summary}>
        {children}
      </Box>
      <Box sx={{ display: 'flex', justifyContent: 'flex-end', alignItems: 'center', gap: 0.5, color: palette.slate, fontSize: '0.88rem' }}>
        <span>Save as</span>
        <Button size="small" onClick={() => void save('svg')} aria-label={`Save as SVG: ${fileName}`}>SVG</Button>
        <Button size="small" onClick={() => void save('png')} aria-label={`Save as PNG: ${fileName}`}>PNG</Button>
        <Button size="small" onClick={() => offer(csvOf(rows), `${fileName}.csv`)} aria-label={`Save as CSV: ${fileName}`}>CSV</Button>
      </Box>
    </Box>
  );
}

/** Words beside the marks that a chart uses. */
export function ChartKeys({ keys }: { keys: readonly { word: string; mark: ReactNode }[] }) {
  return (
    <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: '3px 18px', color: palette.inkSoft, fontSize: '0.88rem', marginBottom: 0.5 }}>
      {keys.map(({ word, mark }) => (
        <Box key={word} component="span" sx={{ display: 'inline-flex', alignItems: 'center', gap: 0.8 }}>
          <svg width={22} height={16} viewBox="0 0 22 16" aria-hidden="true">{mark}</svg>
          {word}
        </Box>
      ))}
    </Box>
  );
}
