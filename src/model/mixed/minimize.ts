/** A function and its slope by the LOGARITHM of each coordinate, with a first guess of its curvature. */
export type Sloped = { value: number; slope: number[]; curvature: number[] };

export type Minimum = { at: number[]; value: number; evaluations: number; converged: boolean };

const mostEvaluations = 100;
/** Longest step of a logarithm. */
const longest = 1.5;
/** Below this a coordinate is tried at 0; from this height a coordinate at 0 is tried again at the end. */
const small = 0.02;
const retried = 0.05;

/**
 * Minimum of a smooth function of coordinates at or above 0: quasi-Newton steps in the logarithms (BFGS, Nocedal & Wright
 * 2006, ch. 6, from memory) from the curvature given, step by step back where the function does not fall; a coordinate that
 * becomes small is set to 0 when that is no worse. Deterministic. `isRough`: a value within about 0.01 of the least will do.
 */
export const minimize = (
  f: (at: readonly number[]) => Sloped,
  begin: readonly number[],
  { isRough = false }: { isRough?: boolean } = {},
): Minimum => {
  let evaluations = 0;
  const evaluated = (at: readonly number[]): Point => {
    evaluations += 1;
    return { at: [...at], ...f(at) };
  };
  const enough = isRough ? 1e-2 : 1e-14;
  let point = evaluated(begin);
  let hessian = diagonal(point.curvature);
  let isReleased = false;
  while (evaluations < mostEvaluations) {
    const zeroed = atZero(point, evaluated);
    if (zeroed !== undefined) {
      point = zeroed;
      hessian = diagonal(point.curvature);
      continue;
    }
    const step = newtonStep(hessian, point);
    const gain = -0.5 * step.reduce((sum, value, k) => sum + value * (point.slope[k] as number), 0);
    const next = gain > enough ? stepped(point, step, evaluated) : undefined;
    if (next !== undefined) {
      hessian = updated(hessian, point, next) ?? diagonal(next.curvature);
      point = next;
      continue;
    }
    const released = isReleased || isRough ? undefined : offZero(point, evaluated);
    isReleased = true;
    if (released === undefined) return { at: point.at, value: point.value, evaluations, converged: true };
    point = released;
    hessian = diagonal(point.curvature);
  }
  return { at: point.at, value: point.value, evaluations, converged: false };
};

type Point = Sloped & { at: number[] };

const diagonal = (values: readonly number[]): number[][] =>
  values.map((value, k) => values.map((_, l) => (k === l ? Math.max(value, 1e-8) : 0)));

/** The point with one small coordinate at 0, if that is no worse. */
const atZero = (point: Point, evaluated: (at: readonly number[]) => Point): Point | undefined => {
  for (const [k, value] of point.at.entries()) {
    if (value === 0 || value >= small || (point.slope[k] as number) < 0) continue;
    const zeroed = evaluated(point.at.map((other, l) => (l === k ? 0 : other)));
    if (zeroed.value <= point.value + 1e-6) return zeroed;
  }
  return undefined;
};

/** The point with a coordinate taken off 0, if that is better. */
const offZero = (point: Point, evaluated: (at: readonly number[]) => Point): Point | undefined => {
  for (const [k, value] of point.at.entries()) {
    if (value !== 0) continue;
    const released = evaluated(point.at.map((other, l) => (l === k ? retried : other)));
    if (released.value < point.value - 1e-6) return released;
  }
  return undefined;
};

/** Step of the logarithms of the coordinates above 0, each at most `longest`. */
const newtonStep = (hessian: readonly number[][], { at, slope }: Point): number[] => {
  const free = [...at.keys()].filter((k) => (at[k] as number) > 0);
  const solution = solved(
    free.map((k) => free.map((l) => (hessian[k] as number[])[l] as number)),
    free.map((k) => -(slope[k] as number)),
  );
  const step = at.map(() => 0);
  for (const [place, k] of free.entries())
    step[k] = Math.min(longest, Math.max(-longest, solution[place] as number));
  return step;
};

/** The first point along the step, halved up to 20 times, that is lower but for rounding. */
const stepped = (
  point: Point,
  step: readonly number[],
  evaluated: (at: readonly number[]) => Point,
): Point | undefined => {
  for (let share = 1; share > 1e-6; share /= 2) {
    const next = evaluated(point.at.map((value, k) => value * Math.exp(share * (step[k] as number))));
    if (next.value <= point.value + 1e-13 * Math.abs(point.value)) return next;
  }
  return undefined;
};

/** BFGS update of the Hessian; undefined where the slope did not rise along the step. */
const updated = (hessian: readonly number[][], from: Point, to: Point): number[][] | undefined => {
  const step = from.at.map((value, k) => (value > 0 ? Math.log((to.at[k] as number) / value) : 0));
  const rise = from.slope.map((value, k) => (step[k] === 0 ? 0 : (to.slope[k] as number) - value));
  const along = dot(step, rise);
  const pushed = hessian.map((row) => dot(row, step));
  const curved = dot(step, pushed);
  if (!(along > 1e-10 * curved) || !(curved > 0)) return undefined;
  return hessian.map((row, k) =>
    row.map(
      (value, l) =>
        value +
        ((rise[k] as number) * (rise[l] as number)) / along -
        ((pushed[k] as number) * (pushed[l] as number)) / curved,
    ),
  );
};

const dot = (a: readonly number[], b: readonly number[]): number =>
  a.reduce((sum, value, k) => sum + value * (b[k] as number), 0);

/** Solves A x = b, A symmetric positive definite (Cholesky, in place on a copy). */
const solved = (matrix: readonly number[][], right: readonly number[]): number[] => {
  const n = right.length;
  const lower = new Float64Array(n * n);
  const x = [...right];
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let rest = (matrix[i] as number[])[j] as number;
      for (let k = 0; k < j; k++) rest -= (lower[i * n + k] as number) * (lower[j * n + k] as number);
      lower[i * n + j] = i === j ? Math.sqrt(Math.max(rest, 1e-12)) : rest / (lower[j * n + j] as number);
    }
    for (let j = 0; j < i; j++) x[i] = (x[i] as number) - (lower[i * n + j] as number) * (x[j] as number);
    x[i] = (x[i] as number) / (lower[i * n + i] as number);
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let j = i + 1; j < n; j++) x[i] = (x[i] as number) - (lower[j * n + i] as number) * (x[j] as number);
    x[i] = (x[i] as number) / (lower[i * n + i] as number);
  }
  return x;
};
