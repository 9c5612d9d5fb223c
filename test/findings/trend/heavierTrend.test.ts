import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type HeavierTrendInput, heavierTrend } from '../../../src/findings/trend/heavierTrend.ts';
import { pieceTrend } from '../../../src/findings/trend/pieceTrend.ts';
import { weeklyShares } from '../../../src/findings/weeklyShares.ts';
import type { MeasuredTest } from '../../../src/measure/measured.ts';
import { seededDraws } from '../../simulator/seededDraws.ts';
import { boughtModel, boughtTest, findingChain } from '../buying/boughtChain.ts';

const asOfDay = 20400;
const chain = findingChain('kg');

/** Six stores of 30 tests over 360 days; pieces of 10 kg, SD 8 %, heavier by `perYear`; `suppliers` may change with the day. */
const bought = (
  perYear: number,
  { seed = 1, supplierOf = () => 'North' }: { seed?: number; supplierOf?: (day: number) => string } = {},
): MeasuredTest[] => {
  const draws = seededDraws(seed, 92);
  return Array.from({ length: 180 }, (_, i) => {
    const day = asOfDay - 360 + 2 * i;
    const supplier = supplierOf(day);
    const own = supplier === 'Heavy' ? 1.3 : 1;
    return boughtTest({
      testId: `t${String(i).padStart(3, '0')}`,
      store: `s${i % 6}`,
      supplier,
      cutDay: day,
      meanPieceKg: own * 10 * Math.exp((perYear * (2 * i)) / 365.25 + 0.08 * draws.normal()),
    });
  });
};

const found = (used: readonly MeasuredTest[], over: Partial<HeavierTrendInput> = {}) =>
  heavierTrend({
    chain,
    asOfDay,
    used,
    weightModels: [boughtModel()],
    reach: [],
    shares: weeklyShares(used, [], asOfDay),
    seenDayOf: (test) => test.cutDay,
    ...over,
  });

describe('trend of the piece weight', () => {
  it('is the slope of the logarithm, exactly where nothing else varies', () => {
    const tests = bought(0).map((test) => ({
      ...test,
      meanPieceKg: 10 * Math.exp((0.05 * (test.cutDay - asOfDay)) / 365.25),
    }));
    // exact but for a grain in one test, so that there is a spread to speak of
    const grain = tests.map((test, i) =>
      i === 7 ? { ...test, meanPieceKg: test.meanPieceKg * 1.001 } : test,
    );
    const trend = pieceTrend(grain);
    expect(trend?.perYear).toBeCloseTo(0.05, 3);
    expect((trend?.toKg as number) / (trend?.fromKg as number)).toBeCloseTo(
      Math.exp((0.05 * 358) / 365.25),
      3,
    );
  });
  it('does not take another supplier for heavier pieces', () => {
    const tests = bought(0, { supplierOf: (day) => (day > asOfDay - 180 ? 'Heavy' : 'North') });
    expect(Math.abs(pieceTrend(tests)?.perYear as number)).toBeLessThan(0.08);
    expect(found(tests)).toEqual([]);
  });
  it('needs 30 tests, 3 stores and 300 days', () => {
    const tests = bought(0.1);
    expect(pieceTrend(tests.slice(0, 29))).toBeUndefined();
    expect(pieceTrend(tests.filter(({ store }) => store < 's2'))).toBeUndefined();
    expect(pieceTrend(tests.slice(0, 150))).toBeUndefined();
    expect(pieceTrend([])).toBeUndefined();
  });
  it('does not depend on the unit or on the order of tests', () => {
    const tests = bought(0.06);
    const own = pieceTrend(tests);
    fc.assert(
      fc.property(fc.double({ min: 0.1, max: 10, noNaN: true }), (unit) => {
        const other = pieceTrend(
          [...tests].reverse().map((test) => ({ ...test, meanPieceKg: unit * test.meanPieceKg })),
        );
        expect(other?.perYear).toBeCloseTo(own?.perYear as number, 9);
        expect(other?.sd).toBeCloseTo(own?.sd as number, 9);
      }),
      { numRuns: 10, seed: 4 },
    );
  });
});

describe('pieces that get heavier', () => {
  it('are told the buyer with what they yield and what a steak then weighs', () => {
    const used = bought(0.12);
    const reach = [8, 12].map((pieceKg) => ({
      item: 'rib',
      spec: '',
      output: 'steak',
      pieceKg,
      thicknessIn: 1.25,
      weightAtThicknessKg: 0.03 * pieceKg,
    })) as unknown as HeavierTrendInput['reach'];
    const volumes = [{ store: 's1', item: 'rib', weekOf: asOfDay - 7, weightKg: 100 }];
    const shares = weeklyShares(used, volumes, asOfDay);
    const falling = boughtModel({
      outcomes: {
        value: { coefficients: [12, -0.3], covariance: [0.01, 0, 0, 0.0001], residualSd: 0.4, unseen: 0 },
        saleable: { coefficients: [0.8, -0.01], covariance: [1e-4, 0, 0, 1e-6], residualSd: 0.02, unseen: 0 },
        main_cut: undefined,
      },
    });
    const [row] = found(used, { reach, shares, weightModels: [falling] });
    expect([row?.kind, row?.reader, row?.item, row?.cutter, row?.store]).toEqual([
      'heavier-trend',
      'buyer',
      'rib',
      '',
      '',
    ]);
    expect(row?.low).toBeGreaterThan(2);
    expect(row?.high).toBeGreaterThan(12);
    const trend = pieceTrend(used);
    const gain = (trend?.toKg as number) - (trend?.fromKg as number);
    expect(row?.moneyPerWeek).toBeCloseTo(0.3 * gain * 100, 9);
    expect(row?.headline).toContain(`saleable lower by ${gain.toFixed(1)} points`);
    expect(row?.headline).toContain(`steak cut to 1.25 in ${(30 * gain).toFixed(1)} g heavier`);
    expect(row?.adjustments).toContain('not for the season: less than 18 months of tests');
  });
  it('are not told where pieces stay as they are, in 60 chains, or where they get lighter', () => {
    const seeds = Array.from({ length: 60 }, (_, seed) => seed + 1);
    expect(seeds.flatMap((seed) => found(bought(0, { seed }))).length).toBeLessThanOrEqual(1);
    expect(found(bought(-0.12))).toEqual([]);
  });
  it('are new once', () => {
    const used = bought(0.12);
    expect(found(used)[0]?.status).toBe('continuing');
    expect(found(used, { seenDayOf: () => asOfDay })[0]?.status).toBe('new');
  });
});
