import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { balanceColumns } from '../../../src/model/compositional/balanceColumns.ts';
import { closure } from '../../../src/model/compositional/closure.ts';
import { aitchisonDistance, clr, ilr, ilrInverse } from '../../../src/model/compositional/logRatios.ts';
import { zeroReplacement } from '../../../src/model/compositional/zeroReplacement.ts';

// Reference: test/reference/misc.json, made by misc.R (definitions of the cited papers written out in base R).
const { compositions } = JSON.parse(readFileSync('test/reference/misc.json', 'utf8'));
const close = (ours: Float64Array, expected: ArrayLike<number>, digits = 12): void => {
  expect(ours.length).toBe(expected.length);
  for (let i = 0; i < expected.length; i++) expect(ours[i]).toBeCloseTo(expected[i] as number, digits);
};
const parts = fc.array(fc.double({ min: 1e-3, max: 1, noNaN: true }), { minLength: 2, maxLength: 8 });

describe('compositions', () => {
  it('equal the reference: clr, ilr, distance, zeros', () => {
    for (const [i, own] of compositions.x.entries()) {
      close(clr(own), compositions.clr[i]);
      close(ilr(own), compositions.ilr[i]);
      close(ilrInverse(ilr(own)), own);
    }
    const [one, other] = compositions.x;
    expect(aitchisonDistance(one, other)).toBeCloseTo(compositions.aitchison_distance_12, 12);
    const { x, detection_limit, result } = compositions.zero_replacement;
    close(zeroReplacement(x, detection_limit), result, 14);
    close(zeroReplacement(x, 0.001), result, 14);
  });
  it('close by hand and know what is no composition', () => {
    close(closure([2, 3, 5]), [0.2, 0.3, 0.5]);
    for (const none of [[], [0, 0], [1, -0.5], [1, Number.NaN]])
      expect([...closure(none)].every(Number.isNaN)).toBe(true);
  });
  it('keep distances in ilr, whatever the total and the order of parts', () => {
    fc.assert(
      fc.property(parts, parts, (a, b) => {
        const [one, other] = [
          a.slice(0, Math.min(a.length, b.length)),
          b.slice(0, Math.min(a.length, b.length)),
        ];
        const [x, y] = [ilr(one), ilr(other)];
        const length = Math.sqrt(x.reduce((sum, own, j) => sum + (own - (y[j] as number)) ** 2, 0));
        expect(length).toBeCloseTo(aitchisonDistance(one, other), 9);
        expect(
          aitchisonDistance(
            one.map((own) => 7 * own),
            other,
          ),
        ).toBeCloseTo(length, 9);
        expect(aitchisonDistance([...one].reverse(), [...other].reverse())).toBeCloseTo(length, 9);
        close(ilrInverse(x), closure(one), 12);
        expect(clr(one).reduce((sum, own) => sum + own, 0)).toBeCloseTo(0, 9);
      }),
    );
  });
  it('keep total and ratios when zeros are replaced', () => {
    const limited = fc.array(fc.constantFrom(0, 0.2, 0.5, 1), { minLength: 2, maxLength: 8 });
    fc.assert(
      fc.property(limited, (own) => {
        fc.pre(own.some((part) => part > 0));
        const closed = closure(own);
        const whole = zeroReplacement(closed, 0.002);
        expect(whole.reduce((sum, part) => sum + part, 0)).toBeCloseTo(1, 12);
        const places = [...own.keys()].filter((j) => (own[j] as number) > 0);
        for (const j of places)
          expect((whole[j] as number) / (whole[places[0] as number] as number)).toBeCloseTo(
            (own[j] as number) / (own[places[0] as number] as number),
            10,
          );
      }),
    );
  });
  it('go by columns, with the limit of each row and gaps for what is no composition', () => {
    const amounts = [
      [8, 4, 1],
      [1.5, 0, 1],
      [0.5, 1, -1],
    ].map((column) => Float64Array.from(column));
    const balances = balanceColumns(amounts, [0.01, 0.01, 0.01]);
    expect(balances).toHaveLength(2);
    const rows = [0, 1, 2].map((i) => Float64Array.from(balances, (column) => column[i] as number));
    close(rows[0] as Float64Array, ilr([8, 1.5, 0.5]));
    close(rows[1] as Float64Array, ilr(zeroReplacement([0.8, 0, 0.2], 0.002)));
    expect([...(rows[2] as Float64Array)].every(Number.isNaN)).toBe(true);
    expect(balanceColumns([], [])).toEqual([]);
  });
});
