import fc from 'fast-check';
import { expect, it } from 'vitest';
import { cheapestChain, learnRate, PRICE, priceOf } from '../../packages/engine/src/duty/countLine.js';
import type { CountLine, Step } from '../../packages/engine/src/duty/countLine.js';

const DAY = 86_400_000;

/** Price of using exactly these readings, by the rules that countLine states; Infinity: not allowed. */
function priceOfUsing(line: CountLine, used: number[]): number {
  const trial: { price: number; step: Step } = { price: 0, step: 'first' };
  let price = 0;
  let skippedForced = false;
  const skip = (from: number, to: number, each: number) => {
    for (let position = from; position < to; position++) {
      price += each;
      if (line.forced[position] === 1) skippedForced = true;
    }
  };
  skip(0, used[0]!, PRICE.asideAtEnd);
  if (line.fitted !== null) {
    priceOf(line, line.fitted.at, line.fitted.value, used[0]!, trial);
    price += trial.price;
  }
  for (let index = 1; index < used.length; index++) {
    const [before, next] = [used[index - 1]!, used[index]!];
    skip(before + 1, next, PRICE.aside);
    priceOf(line, line.at[before]!, line.value[before]!, next, trial);
    price += trial.price;
  }
  const last = used.at(-1)!;
  skip(last + 1, line.count, PRICE.asideAtEnd);
  if (last + 1 < line.count && line.at[last + 1] === line.at[last]) price += PRICE.aside - PRICE.asideAtEnd;
  return skippedForced ? Infinity : price;
}

it('cheapestChain finds what trying every subset of up to eight readings finds', () => {
  fc.assert(
    fc.property(
      fc.array(fc.record({ gap: fc.integer({ min: 0, max: 60 }), value: fc.oneof(fc.nat(3000), fc.nat(120_000)) }), {
        minLength: 1,
        maxLength: 8,
      }),
      fc.constantFrom(null, 5000, 100_000),
      fc.constantFrom(null, { at: -10 * DAY, value: 0 }),
      fc.option(fc.nat(7)),
      (steps, modulus, fitted, forced) => {
        let day = 0;
        const at = Float64Array.from(steps, ({ gap }) => (day += gap) * DAY);
        const value = Float64Array.from(steps, (step) => step.value);
        const line: CountLine = {
          count: steps.length,
          at,
          value,
          forced: Uint8Array.from(steps, (_, index) => (index === forced ? 1 : 0)),
          fitted,
          modulus,
          cycleMs: 10_000,
          rate: 0,
          rises: 0,
        };
        learnRate(line);
        let cheapest = line.fitted !== null && !line.forced.includes(1) ? PRICE.asideAtEnd * line.count : Infinity;
        for (let subset = 1; subset < 1 << line.count; subset++) {
          const used = steps.map((_, index) => index).filter((index) => (subset >> index) & 1);
          cheapest = Math.min(cheapest, priceOfUsing(line, used));
        }
        const { positions } = cheapestChain(line);
        const found = positions.length > 0 ? priceOfUsing(line, positions) : PRICE.asideAtEnd * line.count;
        expect(found).toBeCloseTo(cheapest, 9);
      },
    ),
    { numRuns: 500 },
  );
});
