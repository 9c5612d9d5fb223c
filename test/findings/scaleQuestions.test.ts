import { describe, expect, it } from 'vitest';
import type { Outcome } from '../../src/catalog/outcomes.ts';
import { scaleQuestions } from '../../src/findings/scaleQuestions.ts';
import type { MeasuredTest } from '../../src/measure/measured.ts';
import type { EffectRow } from '../../src/model/modeled.ts';
import { normalCdf } from '../../src/tables/normalDistribution.ts';
import { seededDraws } from '../simulator/seededDraws.ts';
import { boughtTest, findingChain } from './buying/boughtChain.ts';

const asOfDay = 500;
const chain = findingChain('lb');

type Made = { unaccounted: number; saleable: number; usual?: number; sd?: number };
const effectsOf = (store: string, { unaccounted, saleable, usual = 0.6, sd = 0.1 }: Made): EffectRow[] =>
  [['unaccounted', unaccounted] as const, ['saleable', saleable] as const].map(
    ([outcome, effect]: readonly [Outcome, number]) =>
      ({
        kind: 'store',
        id: store,
        item: '',
        outcome,
        status: 'ok',
        tests: 60,
        effect,
        sd,
        low: effect - 2 * sd,
        high: effect + 2 * sd,
        rawMean: usual + effect,
        chanceBeyond: normalCdf((Math.abs(effect) - 1) / sd),
      }) as EffectRow,
  );

/** 60 tests weighed in the bag; `perPurge`: by how much unaccounted weight falls with each part of purge. */
const testsOf = (level: number, perPurge: number): MeasuredTest[] => {
  const draws = seededDraws(5, 1);
  return Array.from({ length: 60 }, (_, i) => {
    const purge = 0.6 + 1.2 * draws.uniform();
    return boughtTest({
      testId: `t${i}`,
      weighed: 'in-bag',
      cutDay: 100 + i,
      drainedKg: 10,
      purgeKg: purge / 10,
      unaccountedYield: (level + perPurge * purge + 0.25 * draws.normal()) / 100,
    });
  });
};
const found = (
  effects: readonly EffectRow[],
  used: readonly MeasuredTest[] = testsOf(-1.4, 0),
  over: { told?: string[]; seenDay?: number } = {},
) =>
  scaleQuestions(
    { chain, asOfDay, used, effects, seenDayOf: () => over.seenDay ?? 0 },
    new Set(over.told ?? []),
  );

describe('a scale that is off all the time', () => {
  const heavy = effectsOf('s1', { unaccounted: -2, saleable: 1.8 });
  it('is asked about: more comes out than went in and more is saleable, and nobody is named', () => {
    const rows = found(heavy);
    expect(rows).toMatchObject([
      { kind: 'scale-question', store: 's1', cutter: '', status: 'continuing', since: '1970-04-11' },
    ]);
    expect(rows[0]?.headline).toBe(
      'Store s1: outputs weigh 1.4 points more than what went in, which is 2.0 more than elsewhere, in the whole room (95 % interval -2.2 to -1.8), over 60 tests against the other stores, same items and lines. Is it the scale, the tare, a lot? No person is meant.',
    );
    expect(found(heavy, testsOf(-1.4, 0), { seenDay: asOfDay })[0]?.status).toBe('new');
  });
  it('is asked about below the threshold too where more comes out than went in, not where less is lost by a little', () => {
    expect(found(effectsOf('s1', { unaccounted: -0.95, saleable: 0.8, usual: 0.5 }))).toHaveLength(1);
    expect(found(effectsOf('s1', { unaccounted: -0.95, saleable: 0.8, usual: 1.2 }))).toEqual([]);
    expect(found(effectsOf('s1', { unaccounted: -0.05, saleable: 0.04, usual: 0, sd: 0.01 }))).toEqual([]);
    expect(found(effectsOf('s1', { unaccounted: -1.3, saleable: 1.1, usual: 2 }))[0]?.headline).toContain(
      '1.3 points less lost than elsewhere',
    );
  });
  it('is not asked about where no more is saleable, more is lost, or the store was asked for another reason', () => {
    expect(found(effectsOf('s1', { unaccounted: -2, saleable: -0.2 }))).toEqual([]);
    expect(found(effectsOf('s1', { unaccounted: 2, saleable: -1.8 }))).toEqual([]);
    expect(found(heavy, testsOf(-1.4, 0), { told: ['s1'] })).toEqual([]);
  });
  it('is not asked about where purge is taken off twice, which follows the purge of each test', () => {
    const twice = effectsOf('s1', { unaccounted: -1.2, saleable: 1.1 });
    expect(found(twice, testsOf(0.6, -1))).toEqual([]);
    expect(found(twice, testsOf(-0.6, 0))).toHaveLength(1);
  });
  it('with too few tests to tell is not asked about where the mean purge fills the gap', () => {
    const few = (level: number): MeasuredTest[] => testsOf(level, 0).slice(0, 6);
    expect(found(effectsOf('s1', { unaccounted: -1.2, saleable: 1.1 }), few(-0.6))).toEqual([]);
    expect(found(effectsOf('s1', { unaccounted: -2.6, saleable: 2.3 }), few(-2))).toHaveLength(1);
  });
});
