import { describe, expect, it } from 'vitest';
import { conditionColours, nightPalette, palette, paintOf, stateColours } from '@lintel/ui';

/**
 * Contrast of text by WCAG 2.2, success criterion 1.4.3 (at least 4.5:1), by its own definitions of relative luminance
 * and contrast ratio (W3C Recommendation, glossary).
 */
function luminance(colour: string): number {
  const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((at) => {
    const channel = Number.parseInt(colour.slice(at, at + 2), 16) / 255;
    return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

function contrast(one: string, other: string): number {
  const [dark = 0, light = 0] = [luminance(one), luminance(other)].sort((a, b) => a - b);
  return (light + 0.05) / (dark + 0.05);
}

const grounds = { paper: palette.paper, frost: palette.frost };
const inks = {
  ink: palette.ink,
  inkSoft: palette.inkSoft,
  slate: palette.slate,
  slateSoft: palette.slateSoft,
  ice: palette.ice,
  dusk: palette.dusk,
  signal: palette.signal,
  signalDeep: palette.signalDeep,
};

describe('the palette', () => {
  it('knows the ratio of black on white, which the recommendation gives as 21:1', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 10);
  });

  for (const [ground, behind] of Object.entries(grounds)) {
    it.each(Object.entries(inks))(`%s can be read on ${ground}`, (_name, ink) => {
      expect(contrast(ink, behind)).toBeGreaterThanOrEqual(4.5);
    });
  }

  it('the signal can be read on its own soft ground, and white on the signal', () => {
    expect(contrast(palette.signal, palette.signalSoft)).toBeGreaterThanOrEqual(4.5);
    expect(contrast(palette.paper, palette.signal)).toBeGreaterThanOrEqual(4.5);
  });

  for (const ground of ['paper', 'frost', 'frostDeep'] as const) {
    it.each(Object.keys(inks) as (keyof typeof inks)[])(`in the dark %s can be read on ${ground}`, (ink) => {
      expect(contrast(nightPalette[ink], nightPalette[ground])).toBeGreaterThanOrEqual(4.5);
    });
  }

  it('in the dark the signal can be read on its own soft ground, and the ground on the signal', () => {
    expect(contrast(nightPalette.signal, nightPalette.signalSoft)).toBeGreaterThanOrEqual(4.5);
    expect(contrast(nightPalette.paper, nightPalette.signal)).toBeGreaterThanOrEqual(4.5);
  });

  it('is a variable of CSS with its own colour where nobody sets it', () => {
    expect(paintOf(palette.ice)).toBe('var(--lintel-ice, #1c6a80)');
    expect(paintOf('#123456')).toBe('#123456');
  });

  it('keeps the warm colour for what must be acted on', () => {
    expect(Object.entries(conditionColours).filter(([, colour]) => colour === palette.signal).map(([word]) => word)).toEqual(['worn']);
    expect(Object.entries(stateColours).filter(([, colour]) => colour === palette.signal).map(([word]) => word)).toEqual(['out-of-service']);
  });
});
