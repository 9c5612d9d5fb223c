import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addingUp } from '../../src/money/addingUp.ts';

const cents = (value: number): number => Math.round(value * 100);

describe('parts that add up when printed', () => {
  it('give the cent left over to the part that lost most (worked by hand)', () => {
    // 0.014 + 0.014 + 0.013 = 0.041: rounded alone they make 0.03
    expect(addingUp(0.041, [0.014, 0.014, 0.013], 0.01).map(cents)).toEqual([2, 1, 1]);
    expect(addingUp(-0.0789, [0.0083, -0.0248, -0.015, 0.0383, -0.0632, -0.0225], 0.01).map(cents)).toEqual([
      1, -3, -2, 4, -6, -2,
    ]);
  });

  it('leave alone what adds up, and what is not known', () => {
    expect(addingUp(0.03, [0.01, 0.02], 0.01).map(cents)).toEqual([1, 2]);
    expect(addingUp(Number.NaN, [Number.NaN, 1], 0.01)[1]).toBe(1);
    expect(addingUp(0, [], 0.01)).toEqual([]);
  });

  it('always add to the rounded total, no part further off than a step', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -50, max: 50, noNaN: true }), { minLength: 1, maxLength: 9 }),
        (parts) => {
          const total = parts.reduce((sum, part) => sum + part, 0);
          const found = addingUp(total, parts, 0.01);
          expect(Math.abs(found.reduce((sum, part) => sum + cents(part), 0) - cents(total))).toBe(0);
          for (const [i, part] of found.entries())
            expect(Math.abs(part - (parts[i] as number))).toBeLessThan(0.01 + 1e-9);
        },
      ),
    );
  });
});
