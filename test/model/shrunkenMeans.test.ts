import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { huberWeights, madScale } from '../../src/model/robust/huberWeights.ts';
import { shrunkenMeans } from '../../src/model/robust/shrunkenMeans.ts';
import { nearestWord } from '../../src/tables/nearestWord.ts';
import { normalCdf } from '../../src/tables/normalDistribution.ts';

const wobble = (i: number): number => Math.sin(i * 12.9898) * 1.5;

describe('shrunken means', () => {
  const n = 400;
  const codes = Int32Array.from({ length: n }, (_, i) => i % 20);
  const a = Float64Array.from({ length: n }, (_, i) => wobble(i) + ((i % 20) - 9.5) / 5);
  const b = Float64Array.from({ length: n }, (_, i) => wobble(i + 7) / 2);
  const c = a.map((value, i) => -value - (b[i] as number));
  const fit = shrunkenMeans([a, b, c], codes, 20, {
    weights: new Float64Array(n).fill(1),
    joint: [true, true, true],
  });
  it('keeps sums over closing outcomes and shrinks toward 0', () => {
    for (let g = 0; g < 20; g++) {
      expect(fit.effect.reduce((sum, effect) => sum + (effect[g] as number), 0)).toBeCloseTo(0, 9);
      expect(fit.reliability[g]).toBeGreaterThan(0.5);
      expect(fit.reliability[g]).toBeLessThan(1);
    }
  });
  it('finds nothing where groups do not differ', () => {
    const same = Float64Array.from({ length: n }, (_, i) => (Math.floor(i / 20) % 2 === 0 ? 1 : -1));
    const none = shrunkenMeans([same], codes, 20, { weights: new Float64Array(n).fill(1), joint: [true] });
    expect([...(none.effect[0] as Float64Array)]).toEqual(new Array(20).fill(0));
  });
});

describe('small numerics', () => {
  it('scales by MAD and weights by Huber (reference: test/reference/robust.json, R robustbase)', () => {
    const { ten } = JSON.parse(readFileSync('test/reference/robust.json', 'utf8')).scales;
    // relative 1e-4: the reference multiplies by 1.4826 as we do; only the last digits of the print differ
    expect(madScale(ten.x) / ten.mad).toBeCloseTo(1, 4);
    expect(huberWeights([0, 0, 0])).toEqual([1, 1, 1]);
    expect(huberWeights([-1, 0, 1, 100])[3]).toBeLessThan(0.1);
  });
  it('gives normal probabilities (reference: misc.json, R pnorm)', () => {
    expect(normalCdf(-1.96)).toBeCloseTo(0.0249979, 6);
    // simple-statistics' error function is an approximation good to about 1e-7
    expect(normalCdf(0)).toBeCloseTo(0.5, 6);
  });
  it('finds a mistyped word and nothing far away', () => {
    expect(nearestWord('curency', ['currency', 'unit'])).toBe('currency');
    expect(nearestWord('zzzzz', ['currency', 'unit'])).toBe('');
  });
});
