import type { CutterSeries } from './pooledForecast.ts';

/** Change of a level from before to after: size and SD in SDs of one test, z, and how many tests of compared items. */
export type Contrast = { shift: number; sd: number; z: number; before: number; after: number };

const none: Contrast = { shift: Number.NaN, sd: Number.NaN, z: 0, before: 0, after: 0 };

/**
 * Tests from..at-1 against at..to-1, each item with itself, items weighted by what they tell: sum of (after - before) / sd
 * over items, inverse-variance weighted. `values` take the place of series.left (bounded ones). NaN and z 0 where no item
 * has tests on both sides.
 */
export const beforeAfter = (
  values: Float64Array,
  series: CutterSeries,
  { from, at, to }: { from: number; at: number; to: number },
): Contrast => {
  const scan = itemSums(values, series, from, to);
  for (let i = from; i < at; i++) scan.moveBefore(i);
  return scan.contrast();
};

/** The place with the largest contrast on the side of `sign` (1 up, -1 down), at least `fewest` tests on either side; -1 when there is none. */
export const changePlace = (
  values: Float64Array,
  series: CutterSeries,
  { from, to, sign, fewest }: { from: number; to: number; sign: number; fewest: number },
): number => {
  const scan = itemSums(values, series, from, to);
  let best = -1;
  let largest = 0;
  for (let at = from + 1; at <= to - fewest; at++) {
    scan.moveBefore(at - 1);
    if (at - from < fewest) continue;
    const z = sign * scan.contrast().z;
    if (z > largest) [best, largest] = [at, z];
  }
  return best;
};

/** Running sums per item of both sides; starts with all tests after. Standardized by each test's SD. */
const itemSums = (values: Float64Array, { sd, item, items }: CutterSeries, from: number, to: number) => {
  const side = () => ({ n: new Float64Array(items), sum: new Float64Array(items) });
  const [before, after] = [side(), side()];
  const add = (to_: ReturnType<typeof side>, i: number, sign: 1 | -1): void => {
    const k = item[i] as number;
    to_.n[k] = (to_.n[k] as number) + sign;
    to_.sum[k] = (to_.sum[k] as number) + (sign * (values[i] as number)) / (sd[i] as number);
  };
  for (let i = from; i < to; i++) add(after, i, 1);
  return {
    moveBefore: (i: number): void => {
      add(after, i, -1);
      add(before, i, 1);
    },
    contrast: (): Contrast => {
      let [precision, weighted, nBefore, nAfter] = [0, 0, 0, 0];
      for (let k = 0; k < items; k++) {
        const [b, a] = [before.n[k] as number, after.n[k] as number];
        if (b < 1 || a < 1) continue;
        const own = 1 / (1 / b + 1 / a);
        precision += own;
        weighted += own * ((after.sum[k] as number) / a - (before.sum[k] as number) / b);
        nBefore += b;
        nAfter += a;
      }
      if (precision === 0) return none;
      const shift = weighted / precision;
      return {
        shift,
        sd: 1 / Math.sqrt(precision),
        z: shift * Math.sqrt(precision),
        before: nBefore,
        after: nAfter,
      };
    },
  };
};
