import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type PriceEntry, priceList } from '../../src/money/priceList.ts';
import { tiedPrices } from '../../src/money/tiedPrices.ts';
import { priceEntry } from './priceEntry.ts';

const ties = (...entries: PriceEntry[]): number[] => [...tiedPrices(entries)];

describe('tied prices', () => {
  it('are two prices for the same from the same day, whatever their order', () => {
    expect(ties(priceEntry({}), priceEntry({ pricePerKg: 11 }))).toEqual([1, 0]);
    expect(ties(priceEntry({ region: 'north' }), priceEntry({ item: 'a', pricePerKg: 11 }))).toEqual([1, 0]);
  });

  it('are not: the same price twice, other outputs, kinds, regions or grades, a later or a more specific one', () => {
    for (const other of [
      {},
      { output: 'cap', pricePerKg: 11 },
      { kind: 'ad', pricePerKg: 11 },
      { validFrom: 1, pricePerKg: 11 },
      { grade: 'g', pricePerKg: 11 },
    ])
      expect(ties(priceEntry({}), priceEntry(other))).toEqual([-1, -1]);
    expect(ties(priceEntry({ region: 'north' }), priceEntry({ region: 'south', pricePerKg: 11 }))).toEqual([
      -1, -1,
    ]);
    expect(ties()).toEqual([]);
  });

  it('are none where a more specific price always comes before both', () => {
    const both = [priceEntry({ region: 'north' }), priceEntry({ item: 'a', pricePerKg: 11 })];
    const before = priceEntry({ region: 'north', item: 'a', pricePerKg: 12 });
    expect(ties(...both, before)).toEqual([-1, -1, -1]);
    expect(ties(...both, { ...before, validTo: 9 })).toEqual([1, 0, -1]);
    expect(ties(...both, { ...before, grade: 'g' })).toEqual([1, 0, -1]);
  });

  const texts = (values: string[]) => fc.constantFrom('', ...values);
  const anyEntry = fc
    .record({
      pricePerKg: fc.constantFrom(10, 11, 12),
      validFrom: fc.integer({ min: 0, max: 2 }),
      validTo: fc.constantFrom(3, 5, Number.NaN),
      kind: fc.constantFrom('regular', 'ad'),
      region: texts(['north', 'south']),
      item: texts(['a', 'b']),
      grade: texts(['g']),
    })
    .map(priceEntry);
  const questions = ['north', 'south', ''].flatMap((region) =>
    ['a', 'b'].flatMap((item) =>
      ['g', 'h'].flatMap((grade) =>
        [0, 1, 2, 3, 4, 5, 6].map((day) => ({ output: 'eye', region, item, grade, day })),
      ),
    ),
  );
  /** Questions that some price answers, but none alone. */
  const unanswered = (entries: readonly PriceEntry[]): number =>
    questions.filter(
      (question) =>
        Number.isNaN(priceList(entries).inForce(question)) &&
        entries.some((one) => !Number.isNaN(priceList([one]).inForce(question))),
    ).length;

  it('leave no question without its one price unseen, and of two prices are just those that do', () => {
    fc.assert(
      fc.property(fc.array(anyEntry, { maxLength: 5 }), (entries) => {
        const isTied = ties(...entries).some((other) => other >= 0);
        if (!isTied) expect(unanswered(entries)).toBe(0);
        if (entries.length <= 2) expect(isTied).toBe(unanswered(entries) > 0);
      }),
    );
  });
});
