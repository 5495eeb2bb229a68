import { createRequire } from 'node:module';

const require = createRequire(import.meta.url);
/**
 * DejaVu (Bitstream Vera licence: free to use and embed): Latin, Greek, Cyrillic and the signs of the trade. What it lacks (Chinese,
 * Japanese, Korean script, emoji) is printed as an empty box.
 */
const fontFile = (name: string): string => require.resolve(`dejavu-fonts-ttf/ttf/${name}.ttf`);
/** Files of the two faces that everything printed uses. */
export const FONTS = { plain: fontFile('DejaVuSansCondensed'), bold: fontFile('DejaVuSansCondensed-Bold') } as const;
