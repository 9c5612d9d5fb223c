import { describe, expect, it } from 'vitest';
import type { FitAll, YieldFit, YieldProblem } from '../../src/model/yieldFit.ts';

// worker threads run the compiled program
const compiled = async <T>(path: string): Promise<T> =>
  (await import(new URL(`../../dist/${path}`, import.meta.url).href)) as T;

/** `n` tests of an item in 20 stores by 60 cutters, drawn by a linear congruential generator. */
const problemOf = (n: number, seed: number): YieldProblem => {
  let state = seed;
  const draw = (): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
  const numbers = (of: () => number): Float64Array => Float64Array.from({ length: n }, of);
  const integers = (levels: number): Int32Array =>
    Int32Array.from({ length: n }, () => Math.floor(draw() * levels));
  const [main, lean, fat] = [numbers(() => 0.7 + 0.05 * draw()), numbers(() => 0.1 * draw()), numbers(draw)];
  const rest = main.map((value, i) => 1 - value - (lean[i] as number));
  const of = (share: number): Float64Array =>
    rest.map((value, i) => value * (share === 1 ? (fat[i] as number) : 1 - (fat[i] as number)));
  return {
    method: Array.from({ length: n }, () => (draw() < 0.5 ? 'steaks' : 'roasts')),
    grade: Array.from({ length: n }, () => (draw() < 0.5 ? 'Choice' : 'Select')),
    cutter: integers(60),
    store: integers(20),
    supplier: integers(3),
    delivery: integers(40),
    pieceKg: numbers(() => 4 + 3 * draw()),
    day: numbers(() => 20000 + Math.floor(300 * draw())),
    pieces: numbers(() => 1 + Math.floor(4 * draw())),
    actual: [
      main.map((value, i) => value + (lean[i] as number)),
      main,
      new Float64Array(n),
      lean,
      of(1),
      of(0),
      new Float64Array(n),
      new Float64Array(n),
      main.map((value) => 20 * value),
    ],
  };
};

describe('fits on workers', () => {
  it('are the same to the bit for one thread and for any number of workers', async () => {
    const { fitOnWorkers } = await compiled<{ fitOnWorkers: (workers: number) => FitAll }>(
      'pipelines/fitOnWorkers.js',
    );
    const { yieldFit } = await compiled<{ yieldFit: (problem: YieldProblem) => YieldFit }>(
      'src/model/yieldFit.js',
    );
    const problems = [3000, 500, 2500, 800].map((n, k) => problemOf(n, k + 1));
    const [alone, two, three] = await Promise.all(
      [1, 2, 3].map((workers) => fitOnWorkers(workers)(problems, yieldFit)),
    );
    expect(alone?.map((fit) => fit.status)).toEqual(problems.map(() => expect.stringMatching(/ok|singular/)));
    expect(two).toEqual(alone);
    expect(three).toEqual(alone);
  });
  it('ends with the error of a worker', async () => {
    const { fitOnWorkers } = await compiled<{ fitOnWorkers: (workers: number) => FitAll }>(
      'pipelines/fitOnWorkers.js',
    );
    const broken = { ...problemOf(6000, 1), grade: undefined } as unknown as YieldProblem;
    await expect(
      fitOnWorkers(2)([broken, broken], () => {
        throw new Error('not in this thread');
      }),
    ).rejects.toThrow(TypeError);
  });
});
