import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { quarterChange } from '../../../src/findings/merchandise/quarterChange.ts';
import { partNames, splitTests, unsplitText } from '../../../src/findings/merchandise/valueParts.ts';
import { valueTrend } from '../../../src/findings/merchandise/valueTrend.ts';
import type { MeasuredTest } from '../../../src/measure/measured.ts';
import { boughtTest } from '../buying/boughtChain.ts';

// Constructed: value per drained kg = 10 + grade + 0.2 x (kg - 10) + cutting; the store adds `ad` to the list
type Facts = { day: number; grade: number; kg: number; cutting: number; ad: number; usable: number };
const night = (facts: readonly Facts[]) => {
  const tests = facts.map((fact, i): MeasuredTest => {
    const valuePerKg = 10 + fact.grade + 0.2 * (fact.kg - 10) + fact.cutting;
    const drainedKg = fact.usable * fact.kg;
    return boughtTest({
      testId: `t${i}`,
      store: `s${i % 4}`,
      cutDay: fact.day,
      billedKg: fact.kg,
      drainedKg,
      valuePerKg,
      saleableYield: 0.8 + 0.01 * fact.cutting,
      salesValue: valuePerKg * drainedKg + fact.ad * fact.kg,
    });
  });
  const termsOf = (_store: string, testId: string, outcome: string) => {
    const fact = facts[Number(testId.slice(1))] as Facts;
    return outcome === 'saleable'
      ? [{ term: 'average', size: 80 }]
      : [
          { term: 'average', size: 10 },
          { term: 'grade', size: fact.grade },
          { term: 'weight', size: 0.2 * (fact.kg - 10) },
          { term: 'closing', size: 0 },
        ];
  };
  return { tests, termsOf };
};
const fact = (day: number, over: Partial<Facts> = {}): Facts => ({
  day,
  grade: 0,
  kg: 10,
  cutting: 0,
  ad: 0,
  usable: 0.98,
  ...over,
});
const setting = { asOfDay: 200, volumeOf: () => 1000 };
const changes = (facts: readonly Facts[], followed: 'value' | 'saleable' = 'value') => {
  const { tests, termsOf } = night(facts);
  return quarterChange(splitTests(tests, followed, termsOf), followed, setting);
};
const twenty = (over: (quarter: number, i: number) => Partial<Facts>): Facts[] =>
  [0, 1].flatMap((quarter) =>
    Array.from({ length: 10 }, (_, i) => fact(quarter === 0 ? 50 : 150, over(quarter, i))),
  );

describe('what changed since the quarter before', () => {
  it('names the part that moved and leaves the others still (worked by hand)', () => {
    const of = (facts: Facts[], part: string) => changes(facts).find((row) => row.part === part);
    const graded = twenty((quarter) => ({ grade: quarter }));
    expect(of(graded, 'grade')?.change).toBeCloseTo(0.98, 9);
    expect(of(graded, 'cutting')?.change).toBeCloseTo(0, 9);
    expect(of(graded, 'total')?.moneyPerWeek).toBeCloseTo(980, 6);
    const dearer = twenty((quarter) => ({ ad: -0.5 * quarter }));
    expect(of(dearer, 'price')?.change).toBeCloseTo(-0.5, 9);
    const wetter = twenty((quarter) => ({ usable: 0.98 - 0.02 * quarter }));
    expect(of(wetter, 'supplier')?.change).toBeCloseTo(-0.2, 9);
    const better = twenty((quarter) => ({ cutting: 0.3 * quarter }));
    expect(of(better, 'cutting')?.change).toBeCloseTo(0.3 * 0.98, 9);
  });

  it('adds up to the total exactly, whatever moved', () => {
    const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    const anyFact = fc.record({
      grade: number(-1, 1),
      kg: number(6, 16),
      cutting: number(-2, 2),
      ad: number(-1, 1),
      usable: number(0.9, 1),
    });
    fc.assert(
      fc.property(fc.array(anyFact, { minLength: 20, maxLength: 20 }), (facts) => {
        for (const followed of ['value', 'saleable'] as const) {
          const rows = changes(
            facts.map((one, i) => ({ ...one, day: i < 10 ? 50 : 150 })),
            followed,
          );
          const total = rows.find((row) => row.part === 'total')?.change as number;
          const parts = rows.filter((row) => row.part !== 'total').reduce((sum, row) => sum + row.change, 0);
          expect(rows).toHaveLength(partNames.length + 1);
          expect(Math.abs(parts - total)).toBeLessThan(1e-9);
        }
      }),
      { numRuns: 50 },
    );
  });

  it('says what is missing where a quarter has too few tests', () => {
    const rows = changes(twenty(() => ({})).slice(0, 13));
    expect(rows).toHaveLength(1);
    expect(rows[0]?.missing).toBe('10 tests in the quarter before and 3 in this; 8 are needed in each');
  });

  it('names an item of which no test can be split, and what is missing', () => {
    const { tests, termsOf } = night(twenty(() => ({})));
    const without = tests.map((test, i) => ({ ...test, unpriced: i % 2 === 0 ? 'cap;eye' : 'cap' }));
    const saidOf = (own: readonly MeasuredTest[], terms: typeof termsOf, followed: 'value' | 'saleable') =>
      quarterChange([], followed, {
        ...setting,
        unsplit: new Map([['rib', unsplitText(own, followed, terms)]]),
      }).map((row) => [row.item, row.missing]);
    expect(saidOf(without, termsOf, 'value')).toEqual([['rib', 'no price in force for cap, eye']]);
    expect(saidOf(without, () => [], 'value')).toEqual([
      ['rib', 'too few tests of one spec and treatment to say what each should have yielded'],
    ]);
    expect(saidOf(without, termsOf, 'saleable')).toEqual([['rib', 'no test whose weights can be split']]);
  });

  it('leaves out tests whose expected yield has no terms or whose outputs lack a price', () => {
    const { tests } = night(twenty(() => ({})));
    expect(splitTests(tests, 'value', () => [])).toEqual([]);
    const { termsOf } = night(twenty(() => ({})));
    expect(splitTests([{ ...(tests[0] as MeasuredTest), unpriced: 'steak' }], 'value', termsOf)).toEqual([]);
  });
});

describe('trend with the mix held', () => {
  it('does not move when only the mix does', () => {
    const { tests, termsOf } = night(twenty((quarter) => ({ grade: 2 * quarter })));
    const rows = valueTrend(splitTests(tests, 'value', termsOf), 'value');
    expect(rows.map((row) => row.month)).toEqual(['1970-02', '1970-05']);
    const [first, second] = rows;
    expect((second?.asCut as number) - (first?.asCut as number)).toBeCloseTo(1.96, 9);
    expect((second?.mixHeld as number) - (first?.mixHeld as number)).toBeCloseTo(0, 9);
  });
  it('shows months with 5 tests or more only', () => {
    const { tests, termsOf } = night([fact(50), fact(50)]);
    expect(valueTrend(splitTests(tests, 'value', termsOf), 'value')).toEqual([]);
  });
});
