import { describe, expect, it } from 'vitest';
import { closedTarget, tConstant, tScatter } from '../../src/review/tScatter.ts';

/** Pairs (e1, e2), e1 with SD 2, e2 = -e1 + noise with SD 0.5, by Box and Muller from a fixed sequence of uniforms. */
const pairs = (n: number, outliers = 0): Float64Array => {
  let state = 5;
  const uniform = (): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state + 0.5) / 4294967296;
  };
  const normal = (): number => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
  const rows = new Float64Array(2 * n);
  for (let i = 0; i < n; i++) {
    const first = 2 * normal();
    rows[2 * i] = i < outliers ? 100 : first;
    rows[2 * i + 1] = i < outliers ? 100 : -first + 0.5 * normal();
  }
  return rows;
};

describe('tScatter', () => {
  it('finds the scatter of normal rows, and says that they are nearly normal', () => {
    const rows = pairs(3000);
    const fit = tScatter(rows, 2, closedTarget(rows, 2));
    expect(fit.nu).toBe(40);
    // a t with 40 degrees of freedom has variance 40/38 of its scatter
    expect([...fit.scatter].map((value) => (value * 40) / 38)).toEqual([
      expect.closeTo(4, 0),
      expect.closeTo(-4, 0),
      expect.closeTo(-4, 0),
      expect.closeTo(4.25, 0),
    ]);
    const ofSum = (fit.scatter[0] as number) + 2 * (fit.scatter[1] as number) + (fit.scatter[3] as number);
    expect(ofSum).toBeGreaterThan(0.2);
    expect(ofSum).toBeLessThan(0.3);
  });

  it('is not taken in by 3 % of rows 50 SDs away', () => {
    const rows = pairs(1000, 30);
    const fit = tScatter(rows, 2, closedTarget(rows, 2));
    expect(fit.scatter[0]).toBeGreaterThan(2);
    expect(fit.scatter[0]).toBeLessThan(5);
    // nor does it take them for the tails of all others
    expect(fit.nu).toBe(40);
  });

  it('scales with the rows', () => {
    const rows = pairs(200);
    const twice = rows.map((value) => 2 * value);
    const [one, two] = [rows, twice].map((own) => tScatter(own, 2, closedTarget(own, 2)));
    expect(two?.nu).toBe(one?.nu);
    for (const [place, value] of (one?.scatter ?? []).entries())
      expect(two?.scatter[place]).toBeCloseTo(4 * value, 9);
  });

  it('stays regular with no rows, with equal rows, and with rows that always add to 0', () => {
    for (const rows of [
      new Float64Array(0),
      new Float64Array(20),
      pairs(30).map((v, i, all) => (i % 2 === 0 ? v : -(all[i - 1] as number))),
    ])
      expect(tScatter(rows, 2, closedTarget(rows, 2)).logDet).toBeGreaterThan(Number.NEGATIVE_INFINITY);
  });
});

describe('tConstant', () => {
  it('is the log density of a standard Cauchy and of a wide t at 0', () => {
    expect(tConstant(1, 1)).toBeCloseTo(-Math.log(Math.PI), 12);
    expect(tConstant(1e7, 2)).toBeCloseTo(-Math.log(2 * Math.PI), 5);
  });
});

describe('closedTarget', () => {
  it('gives what is left over its own spread, not the sum of the lines’', () => {
    const rows = pairs(2000);
    const target = closedTarget(rows, 2);
    const ofSum = (target[0] as number) + 2 * (target[1] as number) + (target[3] as number);
    // 4 and 4.25 of the lines, 0.25 of the sum: (8.25 x 0.25) / 8.5
    expect(ofSum).toBeCloseTo(0.243, 1);
  });
});
