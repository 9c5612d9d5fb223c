const huberK = 1.345;

/** Huber weights and by how much the variance of a weighted mean exceeds sd^2 over the sum of weights. */
export type BoundedTests = { weights: Float64Array; noise: number };

/**
 * Tests bounded about their own cell's Huber location; about the fitted one only in cells of fewer than 4, as bounding about
 * a shrunken center would shrink every cell once more. Noise: E psi^2 E w / (E psi')^2 from the residuals themselves, so
 * that heavy tails are paid for (Huber 1964), with the freedom that cell centers take.
 */
export const boundedTests = (
  residual: Float64Array,
  sd: Float64Array,
  { cellOf, cellEffect }: { cellOf: Int32Array; cellEffect: Float64Array },
): BoundedTests => {
  const { center, sizes } = cellLocations(residual, sd, { cellOf, start: cellEffect });
  const standardized = residual.map(
    (value, i) => (value - (center[cellOf[i] as number] as number)) / (sd[i] as number),
  );
  const weights = standardized.map(huberWeight);
  const mean = (value: (z: number, w: number) => number): number =>
    standardized.reduce((sum, z, i) => sum + value(z, weights[i] as number), 0) / standardized.length;
  // of a few tests all may lie beyond the bound; of many most never do
  const inside = Math.max(
    mean((_, w) => (w === 1 ? 1 : 0)),
    0.5,
  );
  const ownCenters = sizes.reduce((sum, size) => sum + (size >= fewestForOwnCenter ? 1 : 0), 0);
  const freedom = residual.length / Math.max(1, residual.length - ownCenters);
  const noise = (freedom * mean((z, w) => (w * z) ** 2) * mean((_, w) => w)) / (inside * inside);
  return { weights, noise: Math.max(noise, 0.5) };
};

const fewestForOwnCenter = 4;
const locationRounds = 12;
const huberWeight = (standardized: number): number =>
  Math.min(1, huberK / Math.max(Math.abs(standardized), 1e-300));

/** Huber location of each cell with 4 tests or more (known SDs), the start elsewhere; and how many tests each cell has. */
const cellLocations = (
  residual: Float64Array,
  sd: Float64Array,
  { cellOf, start }: { cellOf: Int32Array; start: Float64Array },
): { center: Float64Array; sizes: Float64Array } => {
  const sizes = new Float64Array(start.length);
  for (const c of cellOf) sizes[c] = (sizes[c] as number) + 1;
  let center = Float64Array.from(start);
  for (let round = 0; round < locationRounds; round++) {
    const sums = new Float64Array(start.length);
    const totals = new Float64Array(start.length);
    for (let i = 0; i < cellOf.length; i++) {
      const c = cellOf[i] as number;
      const s = sd[i] as number;
      const w = huberWeight(((residual[i] as number) - (center[c] as number)) / s) / (s * s);
      sums[c] = (sums[c] as number) + w * (residual[i] as number);
      totals[c] = (totals[c] as number) + w;
    }
    center = center.map((value, c) =>
      (sizes[c] as number) >= fewestForOwnCenter ? (sums[c] as number) / (totals[c] as number) : value,
    );
  }
  return { center, sizes };
};
