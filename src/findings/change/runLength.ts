import { normalCdf, normalDensity } from '../../tables/normalDistribution.ts';
import type { CusumOptions } from './cusum.ts';
import type { EwmaOptions } from './ewma.ts';

const points = 64;

/**
 * Average number of values until a two-sided EWMA chart with its final limits goes off after every value has moved by
 * `shift` SDs (zero state), by the integral equation of Crowder (1987 Technometrics 29:401). With exact early limits a
 * chart goes off sooner under a shift and a little more often without.
 */
export const ewmaRunLength = ({ lambda, width }: EwmaOptions, shift: number): number => {
  const edge = width * Math.sqrt(lambda / (2 - lambda));
  const at = (from: number, to: number): number =>
    normalDensity((to - (1 - lambda) * from) / lambda - shift) / lambda;
  const nodes = gaussLegendre(-edge, edge);
  return valueAt(0, nodes, solve(nodes, at), at);
};

/** Average run length of two one-sided sums run together, with or without a head start, after a shift of `shift` SDs. */
export const cusumRunLength = ({ slack, limit, headStart = 0 }: CusumOptions, shift: number): number => {
  const begin = headStart * limit;
  const [up, down] = [oneSided(slack, limit, shift), oneSided(slack, limit, -shift)];
  // Lucas & Crosier 1982: the two sums cannot both be well above 0
  const [upNow, downNow, up0, down0] = [up(begin), down(begin), up(0), down(0)];
  return (upNow * down0 + up0 * downNow - up0 * down0) / (up0 + down0);
};

/** Width of EWMA limits with the wanted average run length while nothing changes, to 1e-6. */
export const ewmaWidthFor = (lambda: number, runLength: number): number => {
  let [low, high] = [0.1, 8];
  while (high - low > 1e-6) {
    const width = (low + high) / 2;
    if (ewmaRunLength({ lambda, width }, 0) < runLength) low = width;
    else high = width;
  }
  return (low + high) / 2;
};

type Kernel = (from: number, to: number) => number;
type Nodes = { at: Float64Array; weight: Float64Array };

/** Run length of one upward sum by where it starts: L(z) = 1 + L(0) Phi(k - z - shift) + integral of L (Page 1954). */
const oneSided = (slack: number, limit: number, shift: number): ((start: number) => number) => {
  const inner = gaussLegendre(0, limit);
  const at: Kernel = (from, to) => normalDensity(to - from + slack - shift);
  const atZero = (from: number): number => normalCdf(slack - from - shift);
  // the mass at 0 is one more node of weight 1
  const nodes = { at: Float64Array.of(0, ...inner.at), weight: Float64Array.of(1, ...inner.weight) };
  const kernel: Kernel = (from, to) => (to === 0 ? atZero(from) : at(from, to));
  const values = solve(nodes, kernel);
  return (start) => valueAt(start, nodes, values, kernel);
};

const valueAt = (from: number, nodes: Nodes, values: Float64Array, kernel: Kernel): number =>
  values.reduce(
    (sum, value, j) => sum + value * (nodes.weight[j] as number) * kernel(from, nodes.at[j] as number),
    1,
  );

/** Values at the nodes of L = 1 + K L by Gaussian elimination with row exchanges. */
const solve = (nodes: Nodes, kernel: Kernel): Float64Array => {
  const n = nodes.at.length;
  const rows = Array.from({ length: n }, (_, i) =>
    Float64Array.from({ length: n + 1 }, (_, j) => {
      if (j === n) return 1;
      const own = (nodes.weight[j] as number) * kernel(nodes.at[i] as number, nodes.at[j] as number);
      return (i === j ? 1 : 0) - own;
    }),
  );
  for (let j = 0; j < n; j++) eliminate(rows, j);
  const values = new Float64Array(n);
  for (let i = n - 1; i >= 0; i--) {
    const row = rows[i] as Float64Array;
    let rest = row[n] as number;
    for (let j = i + 1; j < n; j++) rest -= (row[j] as number) * (values[j] as number);
    values[i] = rest / (row[i] as number);
  }
  return values;
};

/** Clears column j below its pivot; changes `rows`. */
const eliminate = (rows: Float64Array[], j: number): void => {
  let best = j;
  const size = (i: number): number => Math.abs(rows[i]?.[j] as number);
  for (let i = j + 1; i < rows.length; i++) if (size(i) > size(best)) best = i;
  [rows[j], rows[best]] = [rows[best] as Float64Array, rows[j] as Float64Array];
  const pivot = rows[j] as Float64Array;
  for (let i = j + 1; i < rows.length; i++) {
    const row = rows[i] as Float64Array;
    const share = (row[j] as number) / (pivot[j] as number);
    if (share !== 0)
      for (let k = j; k < row.length; k++) row[k] = (row[k] as number) - share * (pivot[k] as number);
  }
};

/** Gauss-Legendre nodes and weights between two ends by Newton's method on the Legendre polynomial. */
const gaussLegendre = (low: number, high: number): Nodes => {
  const at = new Float64Array(points);
  const weight = new Float64Array(points);
  const [middle, half] = [(low + high) / 2, (high - low) / 2];
  for (let i = 0; i < points; i++) {
    let x = Math.cos((Math.PI * (i + 0.75)) / (points + 0.5));
    let slope = 0;
    for (let round = 0; round < 8; round++) {
      const [value, before] = legendre(x);
      slope = (points * (x * value - before)) / (x * x - 1);
      x -= value / slope;
    }
    at[i] = middle + half * x;
    weight[i] = (2 * half) / ((1 - x * x) * slope * slope);
  }
  return { at, weight };
};

/** Legendre polynomials of the last two orders at x. */
const legendre = (x: number): [number, number] => {
  let [value, before] = [1, 0];
  for (let k = 1; k <= points; k++)
    [value, before] = [((2 * k - 1) * x * value - (k - 1) * before) / k, value];
  return [value, before];
};
