/** Where a natural cubic spline bends: inner knots ascending and the two boundary knots, beyond which it is a line. */
export type SplineKnots = { inner: readonly number[]; boundary: readonly [number, number] };

const degree = 3;

/** Values, or derivatives of order `derivative`, of all cubic B-splines at x (de Boor 1978; ends are inclusive). */
const bSplines = (knots: readonly number[], x: number, derivative: number): number[] => {
  const count = knots.length - degree - 1;
  const at = (k: number): number => knots[k] as number;
  const spline = (i: number, order: number, derive: number): number => {
    if (derive > 0) {
      const left = at(i + order) - at(i);
      const right = at(i + order + 1) - at(i + 1);
      return (
        order *
        ((left > 0 ? spline(i, order - 1, derive - 1) / left : 0) -
          (right > 0 ? spline(i + 1, order - 1, derive - 1) / right : 0))
      );
    }
    if (order === 0) {
      const isLast = x === at(count) && at(i + 1) === at(count) && at(i) < at(i + 1);
      return isLast || (x >= at(i) && x < at(i + 1)) ? 1 : 0;
    }
    const left = at(i + order) - at(i);
    const right = at(i + order + 1) - at(i + 1);
    return (
      (left > 0 ? ((x - at(i)) / left) * spline(i, order - 1, 0) : 0) +
      (right > 0 ? ((at(i + order + 1) - x) / right) * spline(i + 1, order - 1, 0) : 0)
    );
  };
  return Array.from({ length: count }, (_, i) => spline(i, degree, derivative));
};

/** Householder reflections that take the two constraint rows to the first two coordinates (LINPACK's signs). */
const reflections = (rows: readonly number[][]): { vector: number[]; from: number }[] => {
  const work = rows.map((row) => [...row]);
  return work.map((column, l) => {
    const own = column.slice(l);
    const norm = Math.hypot(...own) * ((own[0] as number) < 0 ? -1 : 1);
    const vector = own.map((value, i) => value / norm + (i === 0 ? 1 : 0));
    for (const other of work.slice(l + 1)) reflect(other, { vector, from: l });
    return { vector, from: l };
  });
};

/** Applies one reflection to `values` in place. */
const reflect = (values: number[], { vector, from }: { vector: readonly number[]; from: number }): void => {
  const t =
    -vector.reduce((sum, value, i) => sum + value * (values[from + i] as number), 0) / (vector[0] as number);
  vector.forEach((value, i) => {
    values[from + i] = (values[from + i] as number) + t * value;
  });
};

/**
 * Basis of natural cubic splines without a constant: inner.length + 1 columns, each of x's length; linear beyond the
 * boundary knots. Equal to R's splines::ns with the same knots (Hastie, Tibshirani & Friedman 2009, ch. 5).
 */
export const naturalSpline = (x: ArrayLike<number>, knots: SplineKnots): Float64Array[] => {
  const [low, high] = knots.boundary;
  const all = [low, low, low, low, ...knots.inner, high, high, high, high];
  const turns = reflections([low, high].map((end) => bSplines(all, end, 2).slice(1)));
  const natural = (values: number[]): number[] => {
    for (const turn of turns) reflect(values, turn);
    return values.slice(2);
  };
  const ends = [low, high].map((end) => ({
    value: bSplines(all, end, 0).slice(1),
    slope: bSplines(all, end, 1).slice(1),
  }));
  const columns = Array.from({ length: knots.inner.length + 1 }, () => new Float64Array(x.length));
  for (let i = 0; i < x.length; i++) {
    const own = x[i] as number;
    const end = own < low ? ends[0] : own > high ? ends[1] : undefined;
    const bound = own < low ? low : high;
    const row =
      end === undefined
        ? bSplines(all, own, 0).slice(1)
        : end.value.map((value, k) => value + (own - bound) * (end.slope[k] as number));
    for (const [k, value] of natural(row).entries()) (columns[k] as Float64Array)[i] = value;
  }
  return columns;
};
