import { sampleVariance } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { type Offer, valueCovariance } from '../../src/findings/buying/offer.ts';
import { offerSource } from '../../src/findings/buying/offerSource.ts';
import { offerValuer } from '../../src/findings/buying/offers.ts';
import type { MeasuredTest } from '../../src/measure/measured.ts';
import { offerAnswer } from '../../src/money/offerAnswer.ts';
import { z975 } from '../../src/tables/normalDistribution.ts';
import { drawnChain, fittedInput, storesDrawnAgain } from './simulatedBuying.ts';

const chains = 4;
const drawsPerChain = 500;

const offers = (tests: readonly MeasuredTest[]): [Offer, Offer] => {
  const value = offerValuer(offerSource(fittedInput(tests)));
  const of = (weightClass: string): Offer =>
    value({ supplier: 'North', item: 'rib', spec: '', grade: 'G', weightClass, state: 'fresh' });
  return [of('mid'), of('light')];
};
const priceOf = ([from, to]: readonly [Offer, Offer]) =>
  offerAnswer(9, [from, to], {
    varianceA: from.valueSd ** 2,
    varianceB: to.valueSd ** 2,
    covariance: valueCovariance(from, to),
  }).sameMargin;

describe('the interval of the indifference price between two ranges', () => {
  // One chain of 60 stores tells its own bootstrap SE only to about 9 %: four chains together tell 5 %.
  it(`is within 10 % of a bootstrap over stores: ${chains} chains of 60 stores, ${chains * drawsPerChain} draws`, () => {
    const variances = Array.from({ length: chains }, (_, chain) => {
      const { tests } = drawnChain(chain + 1);
      expect(new Set(tests.map((test) => test.store)).size).toBe(60);
      const { low, high } = priceOf(offers(tests));
      const again = Array.from({ length: drawsPerChain }, (_draw, draw) =>
        Math.log(priceOf(offers(storesDrawnAgain(tests, draw + 1))).price),
      );
      return { ours: (Math.log(high / low) / (2 * z975)) ** 2, theirs: sampleVariance(again) };
    });
    const mean = (of: (one: (typeof variances)[number]) => number): number =>
      Math.sqrt(variances.reduce((sum, one) => sum + of(one), 0) / chains);
    const [ours, theirs] = [mean((one) => one.ours), mean((one) => one.theirs)];
    console.log(
      `SE of the log indifference price: ${ours.toFixed(6)}, by bootstrap ${theirs.toFixed(6)}, ratio ${(ours / theirs).toFixed(3)}; by chain ${variances.map((one) => Math.sqrt(one.ours / one.theirs).toFixed(2)).join(' ')}`,
    );
    expect(ours / theirs).toBeGreaterThan(0.9);
    expect(ours / theirs).toBeLessThan(1.1);
  });
});
