import { describe, expect, it } from 'vitest';
import { buying } from '../../src/findings/buying/buying.ts';
import type { IndifferenceRow } from '../../src/findings/buying/buyingRows.ts';
import { boughtQuote } from '../findings/buying/boughtChain.ts';
import { drawnChain, fittedInput } from './simulatedBuying.ts';

const price = 9;
const quotes = ['North', 'South'].map((supplier) =>
  boughtQuote({ supplier, pricePerKg: price, validFrom: 0, validTo: Number.NaN }),
);
const runs = 1000;

describe('95 % intervals of the indifference price', () => {
  it(`hold the truth in 93 to 97 of 100 of ${runs} drawn chains, between ranges and between suppliers, in both forms`, () => {
    const held = new Map<string, number>();
    const count = (what: string, { low, high }: { low: number; high: number }, truth: number): void => {
      held.set(what, (held.get(what) ?? 0) + (low <= truth && truth <= high ? 1 : 0));
    };
    for (let seed = 1; seed <= runs; seed++) {
      const { tests, trueValue } = drawnChain(seed);
      const { indifference } = buying(fittedInput(tests), quotes, 30000);
      const from = trueValue('mid', 'North');
      for (const [what, range, supplier] of [
        ['another range', 'light', 'North'],
        ['another supplier', 'mid', 'South'],
      ] as const) {
        const row = indifference.find(
          (one) =>
            one.from.supplier === 'North' && one.to.supplier === supplier && one.to.weightClass === range,
        ) as IndifferenceRow;
        const to = trueValue(range, supplier);
        count(`${what}, same margin`, row.sameMargin, (price * to) / from);
        count(`${what}, same dollars`, row.sameDollars, price + to - from - (row.to.labor - row.from.labor));
      }
    }
    const shares = [...held].map(([what, times]) => [what, times / runs] as const);
    for (const [what, share] of shares) {
      console.log(`indifference price of ${what}: coverage ${(100 * share).toFixed(1)} % of ${runs}`);
    }
    expect(shares).toHaveLength(4);
    for (const [what, share] of shares) {
      expect(share, what).toBeGreaterThanOrEqual(0.93);
      expect(share, what).toBeLessThanOrEqual(0.97);
    }
  });
});
