import type { CusumOptions } from './cusum.ts';
import type { EwmaOptions } from './ewma.ts';
import { cusumRunLength, ewmaRunLength } from './runLength.ts';

export type ChartLimits = { ewma: EwmaOptions; cusum: CusumOptions };

const lambda = 0.1;
const slack = 0.5;
const headStart = 0.5;
/** Wanted run lengths are rounded up to this many steps a doubling, so that few charts are computed. */
const stepsPerDoubling = 3;
const [shortest, longest] = [50, 1e6];

/**
 * Limits of an EWMA (weight 0.1) and of a CUSUM (slack 0.5, head start a half) that each give one false alarm in
 * `runLength` tests or fewer. Remembers what it has computed; same answer in any order.
 */
export const limitsByRunLength = (): ((runLength: number) => ChartLimits) => {
  const known = new Map<number, ChartLimits>();
  return (runLength) => {
    const within = Math.min(longest, Math.max(shortest, runLength));
    const step = Math.ceil(stepsPerDoubling * Math.log2(within) - 1e-9);
    const found = known.get(step) ?? limitsFor(2 ** (step / stepsPerDoubling));
    known.set(step, found);
    return found;
  };
};

const limitsFor = (runLength: number): ChartLimits => ({
  ewma: {
    lambda,
    width: reached((width) => ewmaRunLength({ lambda, width }, 0), runLength, [2, 4]),
  },
  cusum: {
    slack,
    headStart,
    limit: reached((limit) => cusumRunLength({ slack, headStart, limit }, 0), runLength, [3, 8]),
  },
});

/** Where an increasing function reaches `target`, to a tenth of a per cent of it; its logarithm is nearly a line: secants. */
const reached = (value: (x: number) => number, target: number, [low, high]: [number, number]): number => {
  let [x0, x1] = [low, high];
  let [y0, y1] = [Math.log(value(x0) / target), Math.log(value(x1) / target)];
  for (let round = 0; round < 20 && Math.abs(y1) > 1e-3; round++) {
    const next = Math.max(0.1, x1 - (y1 * (x1 - x0)) / (y1 - y0));
    [x0, y0] = [x1, y1];
    x1 = next;
    y1 = Math.log(value(x1) / target);
  }
  return x1;
};
