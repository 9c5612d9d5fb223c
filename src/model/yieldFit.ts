import { classOutcomes, lostClasses, type Outcome, outcomes, soldClasses } from '../catalog/outcomes.ts';
import { monthOf } from '../units/calendarDay.ts';
import type { MixedStatus } from './mixed/fitMixedModel.ts';
import { type RobustFit, robustFit } from './mixed/robustFit.ts';
import { isPredicted } from './modeled.ts';
import { pieceWeights } from './robust/pieceWeights.ts';
import { shrunkenMeans } from './robust/shrunkenMeans.ts';
import { type SupplierPosterior, supplierPosterior } from './supplierPosterior.ts';
import { type DesignFacts, type DesignTerm, monthsOf, type YieldDesign, yieldDesign } from './yieldDesign.ts';

/** Tests of one item, spec and treatment. Codes -1 = not known. actual[k][i] by outcome, fraction of drained or value per kg. */
export type YieldProblem = DesignFacts & {
  cutter: Int32Array;
  supplier: Int32Array;
  /** Supplier x month, or lot where lots are tested more than once: what a delivery has in common. */
  delivery: Int32Array;
  pieces: Float64Array;
  actual: readonly Float64Array[];
};

/** How one outcome was fitted; absent for an outcome that never varies. Supplier levels by their codes in the problem. */
export type OutcomeFit = {
  status: MixedStatus;
  beta: Float64Array;
  residualSd: number;
  supplier: { codes: number[]; blup: Float64Array };
  /** Of outcomes that buying predicts: what holds for the average supplier and for each, in the order of `supplier`. */
  posterior: SupplierPosterior | undefined;
  /** By calendar month (units/calendarDay monthOf); empty where season and trend are fitted. */
  month: Map<number, number>;
  /** By delivery code. */
  delivery: Float64Array;
};

export type YieldFit = {
  /** Per outcome and test, for an average store and cutter; closes: classes add to 1. */
  expected: Float64Array[];
  /** Per outcome and test: SD of one test about everything fitted. */
  sd: Float64Array[];
  /** Per outcome and test: what was added so that classes add to 1. */
  closing: Float64Array[];
  fits: (OutcomeFit | undefined)[];
  status: MixedStatus;
};

/** Fits problem after problem with `fit`, or side by side elsewhere with the same answers in the same order. */
export type FitAll = (
  problems: readonly YieldProblem[],
  fit: (problem: YieldProblem) => YieldFit,
) => Promise<YieldFit[]>;

/** One after the other in this thread. */
export const fitHere: FitAll = async (problems, fit) => problems.map(fit);

export type Term = DesignTerm | 'month' | 'supplier' | 'delivery';

const rounds = 3;

/** Expected yields of one item, spec and treatment by robust REML (mixed/), one fit an outcome, then closed. */
export const yieldFit = (problem: YieldProblem): YieldFit => {
  const design = yieldDesign(problem);
  const suppliers = compact(problem.supplier);
  const months = compact(monthsOf(problem.day) ?? new Int32Array(problem.day.length));
  const factors = [compact(problem.cutter), compact(problem.store), suppliers, months].filter(
    ({ levels }) => levels > 1,
  );
  const fitted = problem.actual.map((y, k) => {
    if (isConstant(y)) return undefined;
    const weights = pieceWeights(y, problem.pieces, design.columns);
    const asked = { y, x: design.columns, factors, weights };
    const fit = robustFit(asked, rounds);
    const effects = fit.effects[factors.indexOf(suppliers)];
    const monthly = fit.effects[factors.indexOf(months)];
    const own: OutcomeFit = {
      status: fit.status,
      beta: fit.beta,
      residualSd: fit.residualSd,
      supplier: {
        codes: suppliers.seen,
        blup: effects?.blup ?? new Float64Array(suppliers.levels),
      },
      posterior: isPredicted(outcomes[k] as Outcome)
        ? supplierPosterior(asked, fit, {
            factor: factors.indexOf(suppliers),
            clusters: { group: suppliers.codes, inner: problem.delivery, crossed: problem.store },
          })
        : undefined,
      month: new Map(
        monthly === undefined
          ? []
          : months.seen.map((month, place) => [month, monthly.blup[place] as number]),
      ),
      delivery: deliveryEffects(fit, problem.delivery),
    };
    return { own, sd: weights.map((weight) => fit.residualSd / Math.sqrt(weight)) };
  });
  const open = fitted.map((one, k) =>
    one === undefined
      ? Float64Array.from(problem.actual[k] as Float64Array)
      : summed(termsOf(problem, design, one.own)),
  );
  const closing = closed(open, {
    sd: fitted.map((one) => one?.own.residualSd ?? 0),
    isSoldWhole: addsUp(problem.actual),
  });
  return {
    expected: open.map((values, k) =>
      values.map((value, i) => value + ((closing[k] as Float64Array)[i] as number)),
    ),
    sd: fitted.map((one) => one?.sd ?? new Float64Array(problem.day.length)),
    closing,
    fits: fitted.map((one) => one?.own),
    status: worst.find((status) => fitted.some((one) => one?.own.status === status)) ?? 'ok',
  };
};

const worst: readonly MixedStatus[] = ['not-converged', 'too-few-tests', 'rank-deficient', 'singular'];

/** Codes renumbered without gaps, with the codes they stood for. */
const compact = (codes: Int32Array): { codes: Int32Array; levels: number; seen: number[] } => {
  const seen = [...new Set(codes)].filter((code) => code >= 0).sort((a, b) => a - b);
  const placeOf = new Map(seen.map((code, place) => [code, place]));
  return { codes: codes.map((code) => placeOf.get(code) ?? -1), levels: seen.length, seen };
};

const summed = (terms: ReadonlyMap<Term, Float64Array>): Float64Array => {
  const [first, ...rest] = [...terms.values()];
  const sum = Float64Array.from(first as Float64Array);
  for (const own of rest)
    for (let i = 0; i < sum.length; i++) sum[i] = (sum[i] as number) + (own[i] as number);
  return sum;
};

/**
 * What each term adds to the expected outcome of each test, the average first; add up to what is expected but for what
 * closes it. `design` is that of the problem. Differences between stores stay with the store.
 */
export const termsOf = (
  problem: YieldProblem,
  design: YieldDesign,
  fit: OutcomeFit,
): Map<Term, Float64Array> => {
  const n = problem.day.length;
  const terms = new Map<Term, Float64Array>([['average', new Float64Array(n)]]);
  for (const [j, column] of design.columns.entries()) {
    const term = design.terms[j] as DesignTerm;
    const beta = fit.beta[j] as number;
    if (Number.isNaN(beta) || term === 'between stores') continue;
    const own = terms.get(term) ?? new Float64Array(n);
    for (let i = 0; i < n; i++) own[i] = (own[i] as number) + beta * (column[i] as number);
    terms.set(term, own);
  }
  const ofSupplier = new Map(
    fit.supplier.codes.map((code, place) => [code, fit.supplier.blup[place] as number]),
  );
  terms.set(
    'month',
    Float64Array.from(problem.day, (day) => fit.month.get(monthOf(day)) ?? 0),
  );
  terms.set(
    'supplier',
    Float64Array.from(problem.supplier, (code) => ofSupplier.get(code) ?? 0),
  );
  terms.set(
    'delivery',
    Float64Array.from(problem.delivery, (code) => fit.delivery[code] ?? 0),
  );
  return terms;
};

const isConstant = (values: Float64Array): boolean => {
  const first = values[0] as number;
  return values.every((value) => Math.abs(value - first) < 1e-9);
};

const fewestDeliveries = 5;

/** What deliveries have in common beyond their supplier, shrunken, from residuals of the fit; by delivery code. */
const deliveryEffects = (fit: RobustFit, codes: Int32Array): Float64Array => {
  const levels = codes.reduce((most, code) => Math.max(most, code + 1), 0);
  if (new Set(codes).size < fewestDeliveries) return new Float64Array(levels);
  const { effect } = shrunkenMeans([fit.residual], codes, levels, { weights: fit.weights, joint: [true] });
  return (effect[0] as Float64Array).map((value) => (Number.isFinite(value) ? value : 0));
};

/** True where saleable is main + other + lean trim in every test. */
const addsUp = (actual: readonly Float64Array[]): boolean => {
  const of = (outcome: Outcome): Float64Array => actual[outcomes.indexOf(outcome)] as Float64Array;
  const parts = soldClasses.map(of);
  return of('saleable').every(
    (value, i) => Math.abs(value - parts.reduce((sum, part) => sum + (part[i] as number), 0)) < 1e-9,
  );
};

/** What each outcome's expectation needs so that classes add to 1 (and to saleable): shares by variance, in least squares. */
const closed = (
  open: readonly Float64Array[],
  { sd, isSoldWhole }: { sd: readonly number[]; isSoldWhole: boolean },
): Float64Array[] => {
  const n = open[0]?.length ?? 0;
  const added = open.map(() => new Float64Array(n));
  const place = (outcome: Outcome): number => outcomes.indexOf(outcome);
  const variance = (outcome: Outcome): number => (sd[place(outcome)] as number) ** 2;
  const spread = (group: readonly Outcome[], gapOf: (i: number) => number): void => {
    const total = group.reduce((sum, outcome) => sum + variance(outcome), 0);
    if (!(total > 0)) return;
    for (const outcome of group) {
      const share = variance(outcome) / total;
      const own = added[place(outcome)] as Float64Array;
      for (let i = 0; i < n; i++) own[i] = (own[i] as number) + share * gapOf(i);
    }
  };
  const at = (outcome: Outcome, i: number): number =>
    ((open[place(outcome)] as Float64Array)[i] as number) +
    ((added[place(outcome)] as Float64Array)[i] as number);
  const sumOf = (group: readonly Outcome[], i: number): number =>
    group.reduce((sum, outcome) => sum + at(outcome, i), 0);
  if (!isSoldWhole) {
    const gaps = Float64Array.from({ length: n }, (_, i) => 1 - sumOf(classOutcomes, i));
    spread(classOutcomes, (i) => gaps[i] as number);
    return added;
  }
  // saleable is known best: the rest of the piece closes on it, then the sold classes add to it
  const rest = Float64Array.from({ length: n }, (_, i) => 1 - at('saleable', i) - sumOf(lostClasses, i));
  if (lostClasses.some((outcome) => variance(outcome) > 0)) {
    const all: Outcome[] = ['saleable', ...lostClasses];
    spread(all, (i) => rest[i] as number);
  }
  const gaps = Float64Array.from({ length: n }, (_, i) => at('saleable', i) - sumOf(soldClasses, i));
  spread(soldClasses, (i) => gaps[i] as number);
  return added;
};
