import { describe, expect, it } from 'vitest';
import { outcomes } from '../../src/catalog/outcomes.ts';
import { groupedTails } from '../../src/model/groupedTails.ts';
import { seededNormals } from '../findings/change/seededNormals.ts';

describe('tails by group', () => {
  it('take a cutter who always leaves 9 points on the trim as that cutter, and rows of no group as unknown', () => {
    const draw = seededNormals(3);
    const n = 120;
    const typical: Record<string, number> = {
      main_cut: 0.7,
      lean_trim: 0.18,
      fat: 0.1,
      waste: 0.01,
      unaccounted: 0.01,
    };
    const shift: Record<string, number> = { main_cut: -0.09, lean_trim: 0.09 };
    const isTrimmer = (i: number): boolean => i % 10 === 0;
    const column = (value: (outcome: string, i: number) => number): Float64Array[] =>
      outcomes.map((outcome) => Float64Array.from({ length: n }, (_, i) => value(outcome, i)));
    const noise = Float64Array.from({ length: n }, () => 0.01 * draw());
    const fat = Float64Array.from({ length: n }, () => 0.01 * draw());
    const loss = Float64Array.from({ length: n }, () => 0.004 * draw());
    const moved: Record<string, (i: number) => number> = {
      main_cut: (i) => -(noise[i] as number) - (fat[i] as number) - (loss[i] as number),
      unaccounted: (i) => loss[i] as number,
      lean_trim: (i) => noise[i] as number,
      fat: (i) => fat[i] as number,
    };
    const own = (outcome: string, i: number): number => (isTrimmer(i) ? (shift[outcome] ?? 0) : 0);
    const actual = column(
      (outcome, i) => (typical[outcome] ?? 0) + own(outcome, i) + (moved[outcome]?.(i) ?? 0),
    );
    const expected = column((outcome) => typical[outcome] ?? 0);
    const rows = Array.from({ length: n - 1 }, (_, i) => i);
    const groups = [
      {
        rows,
        problem: { method: rows.map(() => 'steaks'), actual: actual.map((values) => values.slice(0, n - 1)) },
      },
    ];
    const effects = (isKnown: boolean) =>
      column((outcome, i) => (isKnown ? own(outcome, i) : 0)).map((cutter) => ({
        store: new Float64Array(n),
        cutter,
      }));
    const odd = (tails: Float64Array): number =>
      [...tails.keys()].filter((i) => isTrimmer(i) && (tails[i] as number) < 0.001).length;
    const known = groupedTails(groups, expected, effects(true));
    expect(odd(known)).toBeLessThanOrEqual(1);
    expect(odd(groupedTails(groups, expected, effects(false)))).toBeGreaterThanOrEqual(9);
    expect(known[n - 1]).toBeNaN();
  });
});
