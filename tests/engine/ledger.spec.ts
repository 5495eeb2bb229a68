import { canonicalJson, CHAIN_START, endOfChain, isChainFault, nextInChain, sealedText, type ChainPlace, type SealedEntry } from '@lintel/engine';
import { sha256Hex } from '@lintel/store';
import { describe, expect, it } from 'vitest';

describe('canonical JSON', () => {
  it('is that of RFC 8785 but for numbers, which are exact decimals', () => {
    // Input and strings, literals, order: RFC 8785, section 3.2.2 and 3.2.4 (from memory). Numbers there: 333333333.3333333, 1e+30, 4.5, 0.002, 1e-27.
    const input = String.raw`{
      "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
      "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
      "literals": [null, true, false]
    }`;
    expect(canonicalJson(input)).toBe(
      String.raw`{"literals":[null,true,false],"numbers":[333333333.33333329,1000000000000000000000000000000,4.5,0.002,0.000000000000000000000000001],"string":"€$\u000f\nA'B\"\\\\\"/"}`);
  });

  it('writes numbers as plain decimals, whatever form they came in', () => {
    const cases = {
      '0': '0', '-0': '0', '-0.0e5': '0', '1.10': '1.1', '100': '100', '1e2': '100', '12.5E-3': '0.0125', '-1.5e+1': '-15', '0.1e1': '1',
      '9007199254740993': '9007199254740993', '123456789012345678901234567890.10': '123456789012345678901234567890.1', '5e-324': `0.${'0'.repeat(323)}5`,
    };
    for (const [given, expected] of Object.entries(cases)) expect(canonicalJson(given), given).toBe(expected);
  });

  it('says the same of every number that JavaScript has written, before and after it was read', () => {
    for (const value of [0.1 + 0.2, 1e21, 1.7976931348623157e308, 5e-324, -1 / 3, 2 ** 53, 123456.789e-9]) {
      const plain = canonicalJson(JSON.stringify(value));
      expect(plain).toMatch(/^-?\d+(\.\d*[1-9])?$/);
      expect(Number(plain)).toBe(value);
      expect(canonicalJson(JSON.stringify(JSON.parse(plain)))).toBe(plain);
    }
  });

  it('leaves what looks like a number or a mark inside a string, takes any key, and orders by code point', () => {
    expect(canonicalJson('{"b":"n1.0","a":"1e5 \\"2.0\\" s","__proto__":{"x":1},"":null,"\u{10000}":1,"\uffee":2}'))
      .toBe('{"":null,"__proto__":{"x":1},"a":"1e5 \\"2.0\\" s","b":"n1.0","\uffee":2,"\u{10000}":1}');
    expect(canonicalJson('[[],{},[{}]]')).toBe('[[],{},[{}]]');
    expect(() => canonicalJson('{')).toThrow(SyntaxError);
  });
});

describe('SHA-256', () => {
  it('is that of FIPS 180-4', () => {
    // NIST, examples for SHA-256: one block 'abc'.
    expect(sha256Hex('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
  });
});

function chain(length: number, from: ChainPlace = { sequence: 0, hash: CHAIN_START }): SealedEntry[] {
  const entries: SealedEntry[] = [];
  let before = from;
  for (let n = 1; n <= length; n += 1) {
    entries.push(sealed({
      companyId: 'c', id: `e${from.sequence + n}`, sequence: before.sequence + 1, at: '2026-01-01T00:00:00.000Z', accountId: null, actor: 'test',
      action: 'tested', subjectKind: 'door', subjectId: null, detail: `{"n": ${n}}`, previousHash: before.hash, hash: null,
    }));
    before = { sequence: before.sequence + 1, hash: entries.at(-1)!.hash! };
  }
  return entries;
}
const sealed = (entry: SealedEntry): SealedEntry => ({ ...entry, hash: sha256Hex(sealedText(entry)) });

function walk(entries: readonly SealedEntry[], head: ChainPlace | null, anchors = new Map<number, string>(), count = entries.length) {
  let place: ChainPlace = { sequence: 0, hash: CHAIN_START };
  for (const entry of entries) {
    const step = nextInChain(place, entry, sha256Hex, anchors);
    if (isChainFault(step)) return step;
    place = step;
  }
  return endOfChain(place, head, count, anchors);
}

describe('the walk along a chain', () => {
  const entries = chain(6);
  const head = { sequence: 6, hash: entries[5]!.hash! };
  const named = (faulty: readonly SealedEntry[], ...rest: [ChainPlace?, Map<number, string>?, number?]) => {
    const fault = walk(faulty, rest[0] ?? head, rest[1], rest[2]);
    return fault && [fault.code, fault.sequence, fault.id];
  };

  it('finds a whole chain in order, and an empty one', () => {
    expect(named(entries)).toBeNull();
    expect(walk([], null)).toBeNull();
  });

  it('names the first entry that does not fit', () => {
    const at = (index: number, change: Partial<SealedEntry>) => entries.map((entry, i) => (i === index ? { ...entry, ...change } : entry));
    for (const change of [{ detail: '{"n": 4}' }, { actor: 'x' }, { at: '2026-01-01T00:00:00.001Z' }, { subjectId: 's' }, { accountId: 'a' }, { id: 'e3', action: 'x' }, { subjectKind: 'x' }]) {
      expect(named(at(2, change))).toEqual(['changed', 3, 'e3']);
    }
    expect(named(at(2, { detail: '{ "n":3.0 }' })), 'the same in another form').toBeNull();
    expect(named(entries.filter((_, i) => i !== 2))).toEqual(['missing', 3, null]);
    expect(named(entries.slice(0, 4))).toEqual(['cut-off', 5, null]);
    expect(named(at(2, { sequence: null }))).toEqual(['unsealed', null, 'e3']);
    // Sealed anew by somebody who knows how, but over itself alone.
    const resealed = entries.map((entry, i) => (i === 2 ? sealed({ ...entry, detail: '{"n": 9}' }) : entry));
    expect(named(resealed)).toEqual(['unlinked', 4, 'e4']);
    const swapped = entries.map((entry, i) => (i === 2 ? { ...entries[3]!, sequence: 3 } : i === 3 ? { ...entries[2]!, sequence: 4 } : entry));
    expect(named(swapped)).toEqual(['changed', 3, 'e4']);
    expect(named(entries, { sequence: 6, hash: CHAIN_START })).toEqual(['head-differs', 6, null]);
    expect(named(entries, head, new Map(), 7)).toEqual(['surplus', 7, null]);
    expect(named(entries, { sequence: 5, hash: entries[4]!.hash! })).toEqual(['surplus', 6, null]);
    expect(named([...entries.slice(0, 3), entries[2]!])).toEqual(['surplus', 3, 'e3']);
  });

  it('sees by an anchor what was made anew as a whole', () => {
    const other = [sealed({ ...entries[0]!, detail: '{"n": 7}' })];
    const chained = [...other, ...chain(5, { sequence: 1, hash: other[0]!.hash! })];
    const end = { sequence: 6, hash: chained[5]!.hash! };
    expect(named(chained, end)).toBeNull();
    expect(named(chained, end, new Map([[4, entries[3]!.hash!]]))).toEqual(['anchor-differs', 4, 'e4']);
    expect(named(entries, head, new Map([[4, entries[3]!.hash!], [6, head.hash]]))).toBeNull();
    expect(named(entries.slice(0, 3), { sequence: 3, hash: entries[2]!.hash! }, new Map([[5, entries[4]!.hash!]]))).toEqual(['anchor-missing', 5, null]);
  });
});
