import { normalCdf, normalDensity } from '../../tables/normalDistribution.ts';

const rounds = 60;

/**
 * The scale at which errors bounded at `bound` scales have the variance that bounded standard normal values have (Huber's
 * proposal 2, 1964 Ann. Math. Statist. 35:73): 1 for normal errors of SD 1, robust against heavy tails and lasting changes
 * of a few. NaN left out; 1 when fewer than 30 errors are known.
 */
export const errorScale = (errors: ArrayLike<number>, bound: number): number => {
  const inside = 2 * normalCdf(bound) - 1;
  const wanted = inside - 2 * bound * normalDensity(bound) + bound * bound * (1 - inside);
  let scale = 1;
  for (let round = 0; round < rounds; round++) {
    let [sum, n] = [0, 0];
    for (let i = 0; i < errors.length; i++) {
      const error = errors[i] as number;
      if (Number.isNaN(error)) continue;
      sum += Math.min(bound * scale, Math.abs(error)) ** 2;
      n++;
    }
    if (n < 30) return 1;
    const next = Math.sqrt(sum / n / wanted);
    if (Math.abs(next - scale) < 1e-9 * scale) return next;
    scale = next;
  }
  return scale;
};
