import { describe, expect, it } from 'vitest';
import { fitMixedModel } from '../../../src/model/mixed/fitMixedModel.ts';
import { mixtureEffects } from '../../../src/model/mixed/mixtureEffects.ts';

/** Uniforms from a seed: linear congruential, constants of Numerical Recipes. */
const uniforms = (seed: number): (() => number) => {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state + 0.5) / 4294967296;
  };
};

/** Inverse of a symmetric positive definite matrix by Gauss-Jordan elimination. */
const inverse = (matrix: readonly number[][]): number[][] => {
  const n = matrix.length;
  const work = matrix.map((row, i) => [...row, ...row.map((_, j) => (i === j ? 1 : 0))]);
  for (let k = 0; k < n; k++) {
    const head = work[k]?.[k] as number;
    work[k] = (work[k] as number[]).map((value) => value / head);
    for (let i = 0; i < n; i++) {
      const ratio = work[i]?.[k] as number;
      if (i !== k)
        work[i] = (work[i] as number[]).map((value, j) => value - ratio * (work[k]?.[j] as number));
    }
  }
  return work.map((row) => row.slice(n));
};

describe('levels with SDs of their own', () => {
  it('gives the means, variances and covariances of the dense system (Henderson 1975 Biometrics 31:423)', () => {
    const draw = uniforms(12345);
    const [n, sizes] = [40, [12, 6, 5]];
    const codes = sizes.map((size) => Int32Array.from({ length: n }, () => Math.floor(draw() * size)));
    const y = Float64Array.from({ length: n }, () => draw() * 4 - 2);
    const weights = Float64Array.from({ length: n }, () => 0.5 + draw() * 3);
    const variance = sizes.map((size) => Float64Array.from({ length: size }, () => 0.1 + draw() * 2));
    const fit = fitMixedModel(
      {
        y,
        x: [],
        weights,
        factors: sizes.map((levels, f) => ({
          codes: codes[f] as Int32Array,
          levels,
          scale: (variance[f] as Float64Array).map(Math.sqrt),
        })),
      },
      [1, 1, 1],
    );
    const offsets = [0, 12, 18];
    const place = (f: number, level: number): number => (offsets[f] as number) + level;
    const left = Array.from({ length: 23 }, (_, i) =>
      Array.from({ length: 23 }, (_, j) =>
        i === j ? 1 / ([...variance.flatMap((own) => [...own])][i] as number) : 0,
      ),
    );
    const right = new Array<number>(23).fill(0);
    for (let i = 0; i < n; i++) {
      const own = sizes.map((_, f) => place(f, (codes[f] as Int32Array)[i] as number));
      for (const a of own) {
        right[a] = (right[a] as number) + (weights[i] as number) * (y[i] as number);
        for (const b of own) (left[a] as number[])[b] = (left[a]?.[b] as number) + (weights[i] as number);
      }
    }
    const dense = inverse(left);
    const known = 1 / fit.sigma ** 2;
    for (const [f, size] of sizes.entries())
      for (let level = 0; level < size; level++) {
        const row = dense[place(f, level)] as number[];
        expect((fit.effects[f]?.condSd[level] as number) ** 2 * known).toBeCloseTo(
          row[place(f, level)] as number,
          12,
        );
        expect(fit.effects[f]?.blup[level]).toBeCloseTo(
          row.reduce((sum, value, j) => sum + value * (right[j] as number), 0),
          12,
        );
      }
    const [a, b, c] = codes.map((own) => own[0] as number) as [number, number, number];
    expect(fit.jointCovariance(a, 1, b) * known).toBeCloseTo(dense[place(0, a)]?.[place(1, b)] as number, 12);
    expect(fit.restCovariance([1, b], [2, c]) * known).toBeCloseTo(
      dense[place(1, b)]?.[place(2, c)] as number,
      12,
    );
  });
});

/** Rooms of four people, one cell each; one person in room 0 is far off, everybody in room 1 is. */
const rooms = (peopleEach: number) => {
  const draw = uniforms(7);
  const normal = (): number => Math.sqrt(-2 * Math.log(draw())) * Math.cos(2 * Math.PI * draw());
  const count = 40 * peopleEach;
  const room = Int32Array.from({ length: count }, (_, i) => Math.floor(i / peopleEach));
  const mean = Float64Array.from(room, (code, i) => {
    const habit = i === 0 || code === 1 ? -5 : 0;
    return habit + 0.5 * normal() + 0.4 * normal();
  });
  return mixtureEffects({
    mean,
    x: [new Float64Array(count).fill(1)],
    precision: new Float64Array(count).fill(1 / 0.16),
    factors: [
      { codes: Int32Array.from(room.keys()), levels: count, hasOutliers: true },
      { codes: room, levels: 40, hasOutliers: true },
    ],
  });
};

/**
 * 15 rooms of three people on two items; two people are far off on both and one on the first, and the last room is 1.2 off
 * on the second item. Effects there of the room and of its people, from the third fit of the same cells.
 */
const fewFarOff = (seed: number): { room: number; own: number[] } => {
  const draw = uniforms(seed);
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - draw())) * Math.cos(2 * Math.PI * draw());
  const far = new Map([
    [7, 3.8],
    [11, 4],
    [14, -4],
  ]);
  const person = Int32Array.from({ length: 90 }, (_, i) => i >> 1);
  const place = Int32Array.from(person, (who) => Math.floor(who / 3));
  const mean = Float64Array.from(person, (who, i) => {
    const isSecond = i % 2 === 1;
    const ofPerson = who === 11 && isSecond ? 0 : (far.get(who) ?? 0);
    return ofPerson + (place[i] === 14 && isSecond ? 1.2 : 0) + Math.sqrt(0.016) * normal();
  });
  const problem = {
    mean,
    x: [0, 1].map((item) => Float64Array.from(mean, (_, i) => (i % 2 === item ? 1 : 0))),
    precision: new Float64Array(90).fill(1 / 0.016),
    factors: [
      { codes: Int32Array.from(mean.keys()), levels: 90, hasOutliers: true },
      { codes: Int32Array.from(place, (at, i) => 2 * at + (i % 2)), levels: 30, hasOutliers: true },
      { codes: person, levels: 45, hasOutliers: true },
      { codes: place, levels: 15, hasOutliers: false },
    ],
  };
  let found = mixtureEffects(problem);
  for (let again = 0; again < 2; again++) found = mixtureEffects(problem, found);
  const effect = (factor: number, level: number): number => found.factors[factor]?.mean[level] as number;
  return { room: effect(1, 29), own: [85, 87, 89].map((cell) => effect(0, cell)) };
};

describe('mixtureEffects', () => {
  it('keeps an outlier whole and charges a room that is off to the room', () => {
    const found = rooms(4);
    expect(found.converged).toBe(true);
    const [people, places] = found.factors as [
      (typeof found.factors)[number],
      (typeof found.factors)[number],
    ];
    expect(people.mean[0]).toBeLessThan(-3.5);
    expect(places.mean[0]).toBeGreaterThan(-1);
    expect(places.mean[1]).toBeLessThan(-3.5);
    for (const person of [4, 5, 6, 7]) expect(people.mean[person]).toBeGreaterThan(-1.5);
  });
  it('neither blames nor clears the only person of a room', () => {
    const found = rooms(1);
    const [people, places] = found.factors as [
      (typeof found.factors)[number],
      (typeof found.factors)[number],
    ];
    for (const lone of [0, 1]) {
      expect((people.mean[lone] as number) + (places.mean[lone] as number)).toBeLessThan(-3.5);
      expect(people.mean[lone]).toBeGreaterThan(-3.2);
      expect(Math.sqrt(people.variance[lone] as number)).toBeGreaterThan(0.8);
    }
  });
  it('charges what three people of a room share to the room, whoever is off in other rooms', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const { room, own } = fewFarOff(seed);
      expect(room, `seed ${seed}`).toBeGreaterThan(0.9);
      for (const effect of own) expect(Math.abs(effect), `seed ${seed}`).toBeLessThan(0.4);
    }
  });
  it('gives the same to 1e-9 when levels are renamed', () => {
    const mean = Float64Array.of(0.3, -0.2, -3, 0.1, 0.5, -0.4, 0.2, 0);
    const at = (order: readonly number[]) =>
      mixtureEffects({
        mean: Float64Array.from(order, (i) => mean[i] as number),
        x: [],
        precision: new Float64Array(8).fill(10),
        factors: [{ codes: Int32Array.from(order.keys()), levels: 8, hasOutliers: true }],
      }).factors[0]?.mean as Float64Array;
    const order = [3, 1, 7, 0, 2, 6, 4, 5];
    const [plain, renamed] = [at([0, 1, 2, 3, 4, 5, 6, 7]), at(order)];
    for (const [place, i] of order.entries()) expect(renamed[place]).toBeCloseTo(plain[i] as number, 9);
  });
});
