/** A string or a number of a JSON text, wherever it stands. */
const TOKENS = /"(?:[^"\\]|\\.)*"|-?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?/g;
const NUMBER = /^(-?)(\d+)(?:\.(\d+))?(?:[eE]([+-]?\d+))?$/;

type Marked = string | boolean | null | Marked[] | { [key: string]: Marked };

/**
 * The one form of a JSON value: no blanks; keys in the order of their code points (that of their UTF-8 bytes); strings escaped as
 * in RFC 8785 (JSON Canonicalization Scheme); numbers as plain decimals without exponent and trailing zeros, exact to any length.
 *
 * In the last two it differs from RFC 8785, which orders keys by UTF-16 units and takes numbers as doubles: PostgreSQL, which
 * makes the seals, has exact decimals. A number that JavaScript has written is the same either way round.
 *
 * @param text JSON, as the database stored or exported it. Cost O(n log n).
 * @throws SyntaxError if it is not JSON.
 */
export function canonicalJson(text: string): string {
  // Numbers pass JSON.parse as marked strings, so that no digit is lost; the mark of keys also keeps `__proto__` a plain key.
  const marked = text.replaceAll(TOKENS, (token) => (token.startsWith('"') ? `"s${token.slice(1)}` : `"n${token}"`));
  return written(JSON.parse(marked) as Marked);
}

function written(value: Marked): string {
  if (typeof value === 'string') return value.startsWith('n') ? plainDecimal(value.slice(1)) : JSON.stringify(value.slice(1));
  if (typeof value !== 'object' || value === null) return String(value);
  if (Array.isArray(value)) return `[${value.map(written).join(',')}]`;
  const keys = Object.keys(value).map((key) => key.slice(1)).sort(byCodePoint);
  return `{${keys.map((key) => `${JSON.stringify(key)}:${written(value[`s${key}`]!)}`).join(',')}}`;
}

function byCodePoint(a: string, b: string): number {
  const left = Array.from(a);
  const right = Array.from(b);
  for (let i = 0; i < Math.min(left.length, right.length); i += 1) {
    const difference = left[i]!.codePointAt(0)! - right[i]!.codePointAt(0)!;
    if (difference !== 0) return difference;
  }
  return left.length - right.length;
}

function plainDecimal(number: string): string {
  const [, sign = '', whole = '', fraction = '', exponent = '0'] = NUMBER.exec(number) ?? [];
  const shift = Number(exponent);
  const digits = whole + fraction;
  const point = whole.length + shift;
  const before = point <= 0 ? '' : digits.slice(0, point).padEnd(point, '0');
  const after = point <= 0 ? digits.padStart(digits.length - point, '0') : digits.slice(point);
  const left = before.replace(/^0+/, '') || '0';
  const right = after.replace(/0+$/, '');
  const plain = right === '' ? left : `${left}.${right}`;
  return plain === '0' ? plain : sign + plain;
}
