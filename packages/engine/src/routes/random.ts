/** A stream of uniform numbers in [0, 1). */
export interface RandomStream {
  next(): number;
}

/**
 * Seeded generator sfc32 (C. Doty-Humphrey, PractRand, public domain): 128 bits of state, passes PractRand, one
 * addition chain a number. The seed is any finite number; equal seeds give equal streams on every machine.
 */
export function seededStream(seed: number): RandomStream {
  let a = 0x9e3779b9 | 0;
  let b = seed | 0;
  let c = (Math.floor(seed / 4294967296) ^ 0x243f6a88) | 0;
  let counter = 1;
  const next = (): number => {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (c << 21) | (c >>> 11);
    c = (c + sum) | 0;
    return (sum >>> 0) / 4294967296;
  };
  for (let turn = 0; turn < 16; turn++) next();
  return { next };
}
