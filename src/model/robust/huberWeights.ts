import { median } from 'simple-statistics';

/** Median absolute deviation x 1.4826 (consistent at the normal). NaN for no values. */
export const madScale = (values: readonly number[]): number => {
  if (values.length === 0) return Number.NaN;
  const center = median(values as number[]);
  return 1.4826 * median(values.map((value) => Math.abs(value - center)));
};

/** Huber weights min(1, k s / |v - median|), k = 1.345 (Huber 1964 Ann. Math. Statist. 35:73); 1 where the scale is 0 (below 1e-9 of the values); none for no values. */
export const huberWeights = (values: readonly number[]): number[] => {
  if (values.length === 0) return [];
  const scale = madScale(values);
  const center = median(values as number[]);
  // values equal but for rounding errors have no scale: weights from such a scale would be noise
  if (!(scale > 1e-9 * (1 + Math.abs(center)))) return values.map(() => 1);
  return values.map((value) => Math.min(1, (1.345 * scale) / Math.max(Math.abs(value - center), 1e-300)));
};
