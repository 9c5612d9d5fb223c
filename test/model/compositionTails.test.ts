import { describe, expect, it } from 'vitest';
import { compositionTails, type Shares } from '../../src/model/compositionTails.ts';
import { seededNormals } from '../findings/change/seededNormals.ts';

/** Tests of a boneless item: main, other, lean trim, fat, bone (none), waste, unaccounted; expected 70, 8, 9, 11, 0, 1, 1 points. */
const sheets = (n: number): Shares => {
  const draw = seededNormals(14);
  const typical = [0.7, 0.08, 0.09, 0.11, 0, 0.01, 0.01];
  const noise = [0.015, 0.008, 0.01, 0.012, 0, 0.002];
  const actual = typical.map(() => new Float64Array(n));
  for (let i = 0; i < n; i++) {
    const own = noise.map((sd, k) => (typical[k] as number) + sd * draw());
    const rest = 1 - own.reduce((sum, share) => sum + share, 0);
    // what is over goes back to the main cut, unaccounted stays small
    own[0] = (own[0] as number) + rest - 0.01;
    for (const [k, share] of [...own, 0.01].entries()) (actual[k] as Float64Array)[i] = share;
  }
  return {
    actual,
    expected: typical.map((share) => new Float64Array(n).fill(share)),
    methods: new Array<string>(n).fill('block-ready'),
  };
};

describe('tails of compositions', () => {
  it('flag two swapped lines and few others', () => {
    const night = sheets(300);
    const [lean, main] = [night.actual[2], night.actual[0]] as [Float64Array, Float64Array];
    [lean[17], main[17]] = [main[17] as number, lean[17] as number];
    const tails = compositionTails(night);
    expect(tails[17]).toBeLessThan(1e-9);
    expect(tails.filter((tail) => tail < 0.001).length).toBeLessThanOrEqual(3);
    const middle = tails.filter((tail) => tail < 0.5).length / 300;
    expect(middle).toBeGreaterThan(0.4);
    expect(middle).toBeLessThan(0.6);
  });
  it('are near 1 for a sheet written from what is expected', () => {
    const night = sheets(300);
    for (const [k, column] of night.actual.entries()) column[5] = night.expected[k]?.[5] as number;
    expect(compositionTails(night)[5]).toBeGreaterThan(0.95);
  });
  it('go by method: a class that one method does not have is no part of it', () => {
    const [one, other] = [sheets(80), sheets(80)];
    const join = (a: readonly Float64Array[], b: readonly Float64Array[]): Float64Array[] =>
      a.map((column, k) => Float64Array.from([...column, ...(b[k] as Float64Array)]));
    const noOther = (columns: readonly Float64Array[]): Float64Array[] =>
      columns.map((column, k) =>
        k === 1
          ? new Float64Array(80)
          : k === 0
            ? column.map((own, i) => own + (columns[1]?.[i] as number))
            : column,
      );
    const both = compositionTails({
      actual: join(one.actual, noOther(other.actual)),
      expected: join(one.expected, noOther(other.expected)),
      methods: [...one.methods, ...other.methods.map(() => 'whole')],
    });
    expect([...both].every(Number.isFinite)).toBe(true);
    expect([...both.subarray(0, 80)]).toEqual([...compositionTails(one)]);
  });
  it('say nothing of few tests or none', () => {
    expect([...compositionTails(sheets(12))].every(Number.isNaN)).toBe(true);
    expect(compositionTails(sheets(0))).toHaveLength(0);
  });
  it('stand negative unaccounted and expectations a little below 0', () => {
    const night = sheets(100);
    (night.actual[6] as Float64Array)[3] = -0.02;
    (night.expected[1] as Float64Array)[4] = -0.001;
    const tails = compositionTails(night);
    expect(tails[3]).toBeLessThan(0.05);
    expect([...tails].every(Number.isFinite)).toBe(true);
  });
});
