import { palette } from '@lintel/ui';
import { Box } from '@mui/material';
import type { ReactNode } from 'react';

const hatch = `repeating-linear-gradient(135deg, ${palette.slateSoft} 0 1.5px, ${palette.paper} 1.5px 6px)`;
const dashes = `repeating-linear-gradient(90deg, ${palette.slate} 0 6px, transparent 6px 9px)`;
const dots = `repeating-linear-gradient(90deg, ${palette.ice} 0 2px, transparent 2px 5px)`;

/** How each part of a day is drawn: a form and a pattern of its own, so that no colour is needed to tell them apart. */
export const segmentStyles = {
  travel: { top: 'calc(50% - 2px)', height: 4, background: dashes },
  waiting: { top: '22%', height: '56%', background: hatch, border: `1px solid ${palette.slateSoft}`, boxSizing: 'border-box' },
  slack: { bottom: 0, height: 5, background: dots, borderRight: `2px solid ${palette.ice}`, boxSizing: 'border-box' },
} as const;
export type SegmentKind = keyof typeof segmentStyles;

const legend: readonly { word: string; sample: ReactNode }[] = [
  { word: 'travel', sample: <Box component="span" sx={{ position: 'absolute', insetInline: 0, ...segmentStyles.travel }} /> },
  { word: 'work, numbered in order', sample: <Box component="span" sx={{ position: 'absolute', inset: '1px 2px', background: palette.iceSoft, border: `1.5px solid ${palette.ink}`, fontSize: 10, fontWeight: 700, lineHeight: '13px', textAlign: 'center', color: palette.ink }}>1</Box> },
  { word: 'waiting', sample: <Box component="span" sx={{ position: 'absolute', insetInline: 0, ...segmentStyles.waiting }} /> },
  { word: 'slack: may slip so far', sample: <Box component="span" sx={{ position: 'absolute', insetInline: 0, ...segmentStyles.slack }} /> },
  { word: 'hours of the shift', sample: <Box component="span" sx={{ position: 'absolute', insetInline: 0, top: 1, bottom: 1, background: palette.paper, border: `1px solid ${palette.line}` }} /> },
];

export function TimeLineLegend() {
  return (
    <Box sx={{ display: 'flex', flexWrap: 'wrap', gap: '3px 16px', color: palette.inkSoft, fontSize: '0.85rem', marginBottom: 1 }}>
      {legend.map(({ word, sample }) => (
        <Box component="span" key={word} sx={{ display: 'inline-flex', alignItems: 'center', gap: 0.7 }}>
          <Box component="span" aria-hidden="true" sx={{ position: 'relative', width: 30, height: 18, background: palette.frostDeep }}>
            {sample}
          </Box>
          {word}
        </Box>
      ))}
    </Box>
  );
}
