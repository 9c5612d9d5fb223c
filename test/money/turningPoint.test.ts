import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { turningPoint } from '../../src/money/turningPoint.ts';

const best = { margin: 5, hours: 0.05, outputShare: 0.8 };
const other = { margin: 4, hours: 0.01, outputShare: 0.6 };

describe('turning point', () => {
  it('finds the labor rate and the price at which both are worth the same (constructed)', () => {
    const turned = turningPoint(best, other, 20);
    expect(turned.laborRate).toBeCloseTo(25, 12);
    expect(turned.priceChange).toBeCloseTo(-1, 12);
  });
  it('does not answer when nothing could turn it', () => {
    expect(turningPoint(best, { ...other, hours: 0.05 }, 20).laborRate).toBeNaN();
    expect(turningPoint(best, { ...other, hours: 0.06 }, 20).laborRate).toBeNaN();
    expect(turningPoint(best, { ...other, outputShare: 0.8 }, 20).priceChange).toBeNaN();
  });
  it('asks for the rate, and the price before labor, where no rate is known', () => {
    const turned = turningPoint(best, other, Number.NaN);
    expect(turned.laborRate).toBeCloseTo(25, 12);
    expect(turned.priceChange).toBeCloseTo(-5, 12);
  });
  it('leaves both equal after the change', () => {
    const part = fc.double({ min: 0.1, max: 0.9, noNaN: true });
    fc.assert(
      fc.property(part, part, (mine, theirs) => {
        const a = { ...best, outputShare: mine };
        const b = { ...other, outputShare: theirs };
        const { priceChange } = turningPoint(a, b, 20);
        if (Math.abs(mine - theirs) < 1e-3) return;
        expect(5 + priceChange * mine - 20 * 0.05).toBeCloseTo(4 + priceChange * theirs - 20 * 0.01, 9);
      }),
    );
  });
});
