import { describe, expect, it } from 'vitest';
import { outcomes } from '../../src/catalog/outcomes.ts';
import { yieldDesign } from '../../src/model/yieldDesign.ts';
import { termsOf, type YieldProblem, yieldFit } from '../../src/model/yieldFit.ts';

/** Tests of 12 stores whose yield falls by 2 points in Select and by 0.5 points a kg; no other differences but noise. */
const planted = (perKg = -0.005): YieldProblem => {
  let state = 99;
  const draw = (): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state + 0.5) / 4294967296;
  };
  const n = 600;
  const noise = Float64Array.from({ length: n }, () => 0.01 * (draw() + draw() + draw() - 1.5));
  const store = Int32Array.from({ length: n }, (_, i) => i % 12);
  // stores from 8 on get heavy Select pieces
  const isSelect = [...store].map((code) => draw() < (code >= 8 ? 0.8 : 0.2));
  const pieceKg = Float64Array.from(store, (code) => 5 + 2 * draw() + (code >= 8 ? 1 : 0));
  const main = noise.map(
    (value, i) => 0.7 + value - (isSelect[i] === true ? 0.02 : 0) + perKg * ((pieceKg[i] as number) - 6),
  );
  const zero = new Float64Array(n);
  const columns: Record<string, Float64Array> = {
    saleable: main.map((value) => value + 0.15),
    main_cut: main,
    other_cut: zero.map(() => 0.05),
    lean_trim: zero.map(() => 0.1),
    fat: main.map((value) => 0.85 - value - 0.01),
    bone: zero,
    waste: zero.map(() => 0.005),
    unaccounted: zero.map(() => 0.005),
    value: main.map((value) => value * 30),
  };
  return {
    method: isSelect.map(() => 'whole'),
    grade: isSelect.map((is) => (is ? 'Select' : 'Choice')),
    store,
    cutter: Int32Array.from(store, (code, i) => code * 3 + (Math.floor(i / 12) % 3)),
    supplier: Int32Array.from(store, (_, i) => i % 4),
    delivery: new Int32Array(n).fill(-1),
    pieceKg,
    day: Float64Array.from(store, (_, i) => 20400 + (i % 200)),
    pieces: new Float64Array(n).fill(1),
    actual: outcomes.map((outcome) => columns[outcome] as Float64Array),
  };
};

describe('yieldFit', () => {
  const problem = planted();
  const fit = yieldFit(problem);
  it('closes: expected classes add to 1 in every test and sold classes to saleable', () => {
    for (let i = 0; i < problem.day.length; i += 37) {
      const of = (k: number): number => (fit.expected[k] as Float64Array)[i] as number;
      expect([1, 2, 3, 4, 5, 6, 7].reduce((sum, k) => sum + of(k), 0)).toBeCloseTo(1, 10);
      expect(of(1) + of(2) + of(3)).toBeCloseTo(of(0), 10);
    }
  });
  it('finds the planted grade difference and weight slope within stores that differ in both', () => {
    const terms = termsOf(
      problem,
      yieldDesign(problem),
      fit.fits[1] as NonNullable<(typeof fit.fits)[number]>,
    );
    const grade = terms.get('grade') as Float64Array;
    const [select, choice] = [problem.grade.indexOf('Select'), problem.grade.indexOf('Choice')];
    expect((grade[select] as number) - (grade[choice] as number)).toBeCloseTo(-0.02, 2);
    const weight = terms.get('weight') as Float64Array;
    const [light, heavy] = [
      problem.pieceKg.indexOf(Math.min(...problem.pieceKg)),
      problem.pieceKg.indexOf(Math.max(...problem.pieceKg)),
    ];
    const slope =
      ((weight[heavy] as number) - (weight[light] as number)) /
      ((problem.pieceKg[heavy] as number) - (problem.pieceKg[light] as number));
    expect(slope).toBeCloseTo(-0.005, 2);
  });
  it('builds the expected yield of a test from its terms', () => {
    const terms = termsOf(
      problem,
      yieldDesign(problem),
      fit.fits[1] as NonNullable<(typeof fit.fits)[number]>,
    );
    const sum = [...terms.values()].reduce((total, values) => total + (values[5] as number), 0);
    expect(sum + ((fit.closing[1] as Float64Array)[5] as number)).toBeCloseTo(
      (fit.expected[1] as Float64Array)[5] as number,
      12,
    );
  });
});
