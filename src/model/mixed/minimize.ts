export type Minimum = { at: number[]; value: number; evaluations: number; converged: boolean };

type Vertex = { at: number[]; value: number };

const mostEvaluations = 600;

/** Newton steps by finite differences around a point that is close to a minimum; a step that does not help ends them. */
const polished = (f: (at: readonly number[]) => number, begin: Vertex, free: readonly number[]): Vertex => {
  let best = begin;
  for (let round = 0; round < 3; round++) {
    const step = best.at.map((value) => 1e-4 * Math.max(value, 0.05));
    const shifted = (moves: readonly [number, number][]): number => {
      const at = [...best.at];
      for (const [k, sign] of moves) at[k] = Math.abs((at[k] as number) + sign * (step[k] as number));
      return f(at);
    };
    const plus = free.map((k) => shifted([[k, 1]]));
    const minus = free.map((k) => shifted([[k, -1]]));
    const gradient = free.map(
      (k, i) => ((plus[i] as number) - (minus[i] as number)) / (2 * (step[k] as number)),
    );
    const hessian = free.map((k, i) =>
      free.map((l, j) => {
        if (i === j)
          return ((plus[i] as number) - 2 * best.value + (minus[i] as number)) / (step[k] as number) ** 2;
        const [low, high] = k < l ? [k, l] : [l, k];
        return (
          (shifted([
            [low, 1],
            [high, 1],
          ]) -
            shifted([
              [low, 1],
              [high, -1],
            ]) -
            shifted([
              [low, -1],
              [high, 1],
            ]) +
            shifted([
              [low, -1],
              [high, -1],
            ])) /
          (4 * (step[k] as number) * (step[l] as number))
        );
      }),
    );
    const move = solved(hessian, gradient);
    const at = [...best.at];
    free.forEach((k, i) => {
      at[k] = Math.abs((at[k] as number) - (move[i] as number));
    });
    const value = f(at);
    if (!(value <= best.value + 1e-9)) break;
    best = { at, value };
  }
  return best;
};

/** Gauss elimination with partial pivoting; zeros where the matrix is singular. */
const solved = (matrix: readonly number[][], right: readonly number[]): number[] => {
  const n = right.length;
  const a = matrix.map((row, i) => [...row, right[i] as number]);
  for (let k = 0; k < n; k++) {
    const pivot = a
      .slice(k)
      .reduce(
        (best, row, i) =>
          Math.abs(row[k] as number) > Math.abs((a[best] as number[])[k] as number) ? k + i : best,
        k,
      );
    [a[k], a[pivot]] = [a[pivot] as number[], a[k] as number[]];
    const head = (a[k] as number[])[k] as number;
    if (!(Math.abs(head) > 1e-12)) return new Array<number>(n).fill(0);
    for (let i = k + 1; i < n; i++) {
      const ratio = ((a[i] as number[])[k] as number) / head;
      for (let j = k; j <= n; j++)
        (a[i] as number[])[j] = ((a[i] as number[])[j] as number) - ratio * ((a[k] as number[])[j] as number);
    }
  }
  const x = new Array<number>(n).fill(0);
  for (let i = n - 1; i >= 0; i--) {
    let rest = (a[i] as number[])[n] as number;
    for (let j = i + 1; j < n; j++) rest -= ((a[i] as number[])[j] as number) * (x[j] as number);
    x[i] = rest / ((a[i] as number[])[i] as number);
  }
  return x;
};

/** Nelder & Mead 1965 simplex with standard coefficients until vertices agree to `tolerance`; coordinates taken by absolute value. */
const simplex = (
  f: (at: readonly number[]) => number,
  begin: readonly number[],
  { tolerance, first }: { tolerance: number; first: number },
): Minimum => {
  let evaluations = 0;
  const vertex = (at: readonly number[]): Vertex => {
    evaluations += 1;
    const inside = at.map(Math.abs);
    return { at: inside, value: f(inside) };
  };
  const corners = [
    vertex(begin),
    ...begin.map((value, k) => vertex(begin.map((other, l) => (k === l ? value * first : other)))),
  ];
  const mix = (from: readonly number[], to: readonly number[], share: number): number[] =>
    from.map((value, k) => value + share * ((to[k] as number) - value));
  const byValue = (a: Vertex, b: Vertex): number => a.value - b.value;
  corners.sort(byValue);
  while (evaluations < mostEvaluations) {
    const [best, worst] = [corners[0] as Vertex, corners[corners.length - 1] as Vertex];
    const width = Math.max(
      ...corners.map((corner) =>
        Math.max(...corner.at.map((value, k) => Math.abs(value - (best.at[k] as number)))),
      ),
    );
    if (worst.value - best.value < tolerance && width < 1e-2)
      return { ...best, evaluations, converged: true };
    const center = begin.map(
      (_, k) =>
        corners.slice(0, -1).reduce((sum, corner) => sum + (corner.at[k] as number), 0) / begin.length,
    );
    const reflected = vertex(mix(center, worst.at, -1));
    const second = corners[corners.length - 2] as Vertex;
    if (reflected.value < best.value) {
      const expanded = vertex(mix(center, worst.at, -2));
      corners[corners.length - 1] = expanded.value < reflected.value ? expanded : reflected;
    } else if (reflected.value < second.value) corners[corners.length - 1] = reflected;
    else {
      const contracted = vertex(mix(center, reflected.value < worst.value ? reflected.at : worst.at, 0.5));
      if (contracted.value < Math.min(worst.value, reflected.value)) corners[corners.length - 1] = contracted;
      else
        for (let i = 1; i < corners.length; i++)
          corners[i] = vertex(mix(best.at, (corners[i] as Vertex).at, 0.5));
    }
    corners.sort(byValue);
  }
  return { ...(corners[0] as Vertex), evaluations, converged: false };
};

/**
 * Minimum of a smooth function of coordinates at or above 0: simplex, then the boundary (a small coordinate set to 0 when
 * that is no worse), then Newton steps on the coordinates left free. Deterministic. `isNear`: `begin` is close, so that the
 * first simplex is small; `isRough`: a value within about 0.01 of the least will do.
 */
export const minimize = (
  f: (at: readonly number[]) => number,
  begin: readonly number[],
  search: { isNear?: boolean; isRough?: boolean } = {},
): Minimum => {
  let evaluations = 0;
  const counted = (at: readonly number[]): number => {
    evaluations += 1;
    return f(at);
  };
  const rough = simplex(counted, begin, {
    tolerance: search.isRough === true ? 1e-2 : 1e-4,
    first: search.isNear === true ? 0.8 : 0.5,
  });
  let best: Vertex = rough;
  for (const k of begin.keys()) {
    const at = best.at.map((value, l) => (l === k ? 0 : value));
    const value = (best.at[k] as number) < 0.05 ? counted(at) : Number.POSITIVE_INFINITY;
    if (value <= best.value + 1e-6) best = { at, value };
  }
  const free = [...begin.keys()].filter((k) => (best.at[k] as number) > 0);
  const fine = free.length === 0 || search.isRough === true ? best : polished(counted, best, free);
  return { at: fine.at, value: fine.value, evaluations, converged: rough.converged };
};
