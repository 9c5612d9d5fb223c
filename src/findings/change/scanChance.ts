import { normalDensity } from '../../tables/normalDistribution.ts';

const steps = 64;

/**
 * P-value of the largest |before/after contrast| over all places where `tests` normal values of one level could be cut with
 * at least `fewest` on either side: b phi(b) integral of nu(b / sqrt(n t (1 - t))) / (t (1 - t)) dt (James, James & Siegmund
 * 1987 Biometrika 74:71; Siegmund 1985, Sequential Analysis; both from memory, so the formula is held to simulated series in
 * its test), both sides. At most 1; 1 where nothing can be cut.
 */
export const scanChance = (z: number, tests: number, fewest: number): number => {
  const b = Math.abs(z);
  if (b < 1 || tests < 2 * fewest) return 1;
  // with u = log(t / (1 - t)), dt / (t (1 - t)) = du, and the range is symmetric about 0
  const reach = Math.log((tests - fewest) / fewest);
  const width = (2 * reach) / steps;
  let sum = 0;
  for (let k = 0; k < steps; k++) {
    const u = -reach + (k + 0.5) * width;
    const spread = 1 / (2 + Math.exp(u) + Math.exp(-u));
    sum += overshoot(b / Math.sqrt(tests * spread));
  }
  return Math.min(1, b * normalDensity(b) * sum * width + (2 * normalDensity(b)) / b);
};

/** Siegmund's nu: how far a random walk of normal steps jumps over a line, to 1 %; its common approximation exp(-0.583 x). */
const overshoot = (x: number): number => Math.exp(-0.583 * x);
