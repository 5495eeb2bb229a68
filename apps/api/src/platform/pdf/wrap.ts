/**
 * Breaks a text into lines of at most `width`: at its own line breaks, else between words, and inside a word only where it is wider
 * than a whole line. @param widthOf width of a text on one line.
 */
export function wrapText(text: string, width: number, widthOf: (text: string) => number): string[] {
  return text.replaceAll('\t', ' ').split(/\r\n|\r|\n/).flatMap((line) => wrapLine(line, width, widthOf));
}

function wrapLine(line: string, width: number, widthOf: (text: string) => number): string[] {
  const lines: string[] = [];
  const space = widthOf(' ');
  let current = '';
  let taken = 0;
  for (const word of line.split(/ +/)) {
    // Word by word: measuring the growing line each time would be the dearest part of a long table.
    const needed = widthOf(word);
    if (current === '' ? needed <= width : taken + space + needed <= width) {
      taken += current === '' ? needed : space + needed;
      current = current === '' ? word : `${current} ${word}`;
      continue;
    }
    if (current !== '') lines.push(current);
    const pieces = needed <= width ? [word] : cutWord(word, width, widthOf);
    lines.push(...pieces.slice(0, -1));
    current = pieces.at(-1) ?? '';
    taken = widthOf(current);
  }
  return [...lines, current];
}

/** Always takes a character a line, however narrow the line. */
function cutWord(word: string, width: number, widthOf: (text: string) => number): string[] {
  const pieces: string[] = [];
  let piece = '';
  for (const character of word) {
    if (piece !== '' && widthOf(piece + character) > width) {
      pieces.push(piece);
      piece = '';
    }
    piece += character;
  }
  return [...pieces, piece];
}
