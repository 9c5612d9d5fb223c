import type { MixedProblem } from './mixed/crossProducts.ts';
import { fitMixedModel } from './mixed/fitMixedModel.ts';
import type { RobustFit } from './mixed/robustFit.ts';
import { aboutAverage } from './robust/aboutAverage.ts';
import { type Clusters, clusterVariances, meanVariances } from './robust/clusterVariances.ts';

/**
 * Fixed effects of one outcome, for the average supplier, followed by how each supplier differs from it (adding to 0), with
 * the covariance of all, square by rows; `unseen`: variance of the difference of a supplier without tests.
 */
export type SupplierPosterior = { coefficients: Float64Array; covariance: Float64Array; unseen: number };

/** Relative SD at which suppliers are as good as fixed. */
const freeTheta = 100;

/**
 * One joint posterior of fixed effects and suppliers from a robust fit. Suppliers are first left free, so that what is seen
 * of them does not rest on their spread; then the error of what deliveries and stores have in common is added, as each
 * supplier's tests move every estimate; then they are shrunken toward their average (aboutAverage), and the fixed effects
 * follow. `problem` as it was fitted; `factor`: the place of suppliers among its factors, -1 where fewer than two are known.
 */
export const supplierPosterior = (
  problem: MixedProblem,
  fit: RobustFit,
  { factor, clusters }: { factor: number; clusters: Clusters },
): SupplierPosterior => {
  const p = problem.x.length;
  if (factor < 0)
    return { coefficients: knownOnly(fit.beta), covariance: knownOnly(fit.betaCovariance()), unseen: 0 };
  const { estimate, covariance, priorVariance } = freeSuppliers(problem, fit, factor);
  const count = estimate.length - p;
  const shared = meanVariances(
    { ...clusterVariances(boundedResiduals(problem, fit), clusters), own: 0 },
    clusters,
    count,
  );
  for (const [s, variance] of shared.entries()) {
    const response = covariance.map(
      (row, i) => (i === p + s ? 1 : 0) - (row[p + s] as number) / priorVariance,
    );
    for (const [i, row] of covariance.entries())
      for (const j of row.keys())
        row[j] = (row[j] as number) + variance * (response[i] as number) * (response[j] as number);
  }
  const about = centered(estimate, p);
  const spread = transposed(centeredRows(transposed(centeredRows(covariance, p)), p));
  const own = about.slice(p);
  const found = aboutAverage(
    own,
    spread.slice(p).map((row) => row.slice(p)),
  );
  const gains = spread.map((row) =>
    found.precision.map((column) =>
      column.reduce((sum, value, g) => sum + value * (row[p + g] as number), 0),
    ),
  );
  return {
    coefficients: about.map(
      (value, i) => value - own.reduce((sum, seen, g) => sum + seen * (gains[i]?.[g] as number), 0),
    ),
    covariance: Float64Array.from(
      spread.flatMap((row, i) =>
        [...row].map(
          (value, j) =>
            value -
            own.reduce((sum, _, g) => sum + (gains[i]?.[g] as number) * (spread[j]?.[p + g] as number), 0),
        ),
      ),
    ),
    unseen: found.between * (1 + 1 / count),
  };
};

const knownOnly = (values: Float64Array): Float64Array =>
  values.map((value) => (Number.isNaN(value) ? 0 : value));

type Free = { estimate: Float64Array; covariance: Float64Array[]; priorVariance: number };

/** Fixed effects and suppliers, then their joint covariance, with suppliers left free and tests as noisy as bounding makes them. */
const freeSuppliers = (problem: MixedProblem, fit: RobustFit, factor: number): Free => {
  const p = problem.x.length;
  const suppliers = problem.factors[factor] as MixedProblem['factors'][number];
  const rest = problem.factors.filter((_, f) => f !== factor);
  const theta = fit.theta.filter((_, f) => f !== factor).map((value) => value / Math.sqrt(fit.noiseFactor));
  // the first factor is eliminated, so suppliers never come first
  const none = { codes: new Int32Array(problem.y.length).fill(-1), levels: 1 };
  const free = fitMixedModel(
    { ...problem, factors: [...(rest.length > 0 ? rest : [none]), suppliers], weights: fit.weights },
    [...(rest.length > 0 ? theta : [0]), freeTheta],
  );
  const scale = (Math.sqrt(fit.noiseFactor) * fit.sigma) / free.sigma;
  const place = Math.max(1, rest.length);
  const { levels, fixed } = free.levelCovariance(place);
  const beta = knownOnly(free.betaCovariance());
  const rows = [
    ...Array.from({ length: p }, (_, j) => [
      ...beta.slice(j * p, (j + 1) * p),
      ...fixed.map((own) => own[j] as number),
    ]),
    ...levels.map((row, g) => [...(fixed[g] as Float64Array), ...row]),
  ];
  return {
    estimate: Float64Array.from([...knownOnly(free.beta), ...(free.effects[place]?.blup ?? [])]),
    covariance: rows.map((row) => Float64Array.from(row, (value) => scale ** 2 * value)),
    priorVariance: (freeTheta * free.sigma * scale) ** 2,
  };
};

/** Test residuals as the fit bounds them, on the scale of what they move. */
const boundedResiduals = (
  { weights: given }: MixedProblem,
  { residual, weights }: RobustFit,
): Float64Array => {
  const kept = weights.map((weight, i) => weight / (given?.[i] ?? 1));
  const inside = kept.reduce((sum, share) => sum + (share > 1 - 1e-9 ? 1 : 0), 0) / kept.length;
  return residual.map((value, i) => ((kept[i] as number) * value) / Math.max(inside, 0.5));
};

/** The mean of what follows the first p goes from there to the first, which stands for the average. */
const centered = (values: Float64Array, p: number): Float64Array => {
  const mean = values.slice(p).reduce((sum, value) => sum + value, 0) / (values.length - p);
  return values.map((value, i) => (i === 0 ? value + mean : i < p ? value : value - mean));
};

const centeredRows = (rows: readonly Float64Array[], p: number): Float64Array[] =>
  transposed(transposed(rows).map((column) => centered(column, p)));

const transposed = (rows: readonly Float64Array[]): Float64Array[] =>
  Array.from(rows[0] ?? [], (_, j) => Float64Array.from(rows, (row) => row[j] as number));
