import { describe, expect, it } from 'vitest';
import { pieceWeights } from '../../../src/model/robust/pieceWeights.ts';

describe('pieceWeights', () => {
  it('is 1 for one piece and grows as the variance a^2 + b^2 / pieces falls', () => {
    const pieces = Float64Array.from({ length: 300 }, (_, i) => [1, 2, 6][i % 3] as number);
    // deviations +-1 times the SD of each size: MADs are exact; a^2 = 1, b^2 = 3
    const y = pieces.map((size, i) => (i % 2 === 0 ? 1 : -1) * Math.sqrt(1 + 3 / size));
    const weights = pieceWeights(y, pieces, []);
    expect(weights[0]).toBeCloseTo(1, 9);
    expect(weights[1]).toBeCloseTo(4 / 2.5, 6);
    expect(weights[2]).toBeCloseTo(4 / 1.5, 6);
  });
  it('is 1 everywhere when all tests have as many pieces', () => {
    expect([...pieceWeights(Float64Array.of(1, 2, 3), Float64Array.of(2, 2, 2), [])]).toEqual([1, 1, 1]);
  });
});
