import { describe, expect, it } from 'vitest';
import { type Outcome, outcomes } from '../../src/catalog/outcomes.ts';
import { effectRows } from '../../src/model/effectRows.ts';
import type { LevelEstimate } from '../../src/model/levelEstimates.ts';

/** Effects of so many stores with 4 tests each, all found alike as far as `reliability` goes. */
const rowsOf = (
  stores: number,
  reliability: number,
  { status = 'ok', effect = 0 }: { status?: 'ok' | 'not-converged'; effect?: number } = {},
) => {
  // main cut gone to fat
  const moved: Partial<Record<Outcome, number>> = { saleable: -effect, main_cut: -effect, fat: effect };
  const estimateOf = (outcome: Outcome): LevelEstimate => ({
    parts: [{ share: 1, mean: moved[outcome] ?? 0, sd: 0.01 }],
    mean: moved[outcome] ?? 0,
    sd: 0.01,
    difference: 0.4,
    differenceSd: 0.5,
    reliability,
    between: 0.01,
    within: 1,
  });
  const values = outcomes.map(() => new Float64Array(4 * stores).fill(0.1));
  return effectRows({
    kind: 'store',
    codes: Int32Array.from({ length: 4 * stores }, (_, i) => i >> 2),
    names: Array.from({ length: stores }, (_, i) => ({ id: `s${i}`, store: '', item: '' })),
    estimates: outcomes.map((outcome) => new Array<LevelEstimate>(stores).fill(estimateOf(outcome))),
    actual: values,
    expected: values,
    isSoldWhole: () => true,
    pricesOf: () => ({}),
    effectPoints: 1,
    status: () => status,
  });
};
const statuses = (...asked: Parameters<typeof rowsOf>): string[] => [
  ...new Set(rowsOf(...asked).map((row) => row.status)),
];

describe('effects of few', () => {
  it('cannot be told where a few are found alike: their spread is not known, not none', () => {
    expect(statuses(2, 0.001)).toEqual(['singular']);
    expect(statuses(4, 0)).toEqual(['singular']);
  });
  it('are told of one who stands out of few that are alike', () => {
    expect(rowsOf(4, 0, { effect: 3 }).find((row) => row.outcome === 'fat')?.status).toBe('ok');
  });
  it('are told where the few differ, where many are found alike, and where nothing can vary', () => {
    expect(statuses(2, 0.8)).toEqual(['ok']);
    expect(statuses(5, 0.001)).toEqual(['ok']);
    expect(statuses(2, 1)).toEqual(['ok']);
  });
  it('keep the reason for which a fit is in doubt', () => {
    expect(statuses(2, 0.001, { status: 'not-converged' })).toEqual(['not-converged']);
  });
});
