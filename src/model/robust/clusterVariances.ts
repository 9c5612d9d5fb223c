/** Variance of one value by itself, and what values of one inner and of one crossed cluster of the same group share beyond their group. */
export type ClusterVariances = { own: number; inner: number; crossed: number };

/** What each value belongs to; -1 = to none known, and so to one of its own. Inner clusters lie within groups, crossed ones across them. */
export type Clusters = { group: Int32Array; inner: Int32Array; crossed: Int32Array };

/**
 * Variance components within groups by moments: products of two values of one inner (or crossed) cluster but another
 * crossed (inner) one, less those of two of the group that share neither, which pays for the group's own mean. Values without a
 * group are left out; none is below 0.
 */
export const clusterVariances = (values: Float64Array, clusters: Clusters): ClusterVariances => {
  const { group, inner, crossed } = withinGroups(clusters);
  const [all, byInner, byCrossed, byBoth] = [group, inner, crossed, paired(inner, crossed)].map((codes) =>
    pairsWithin(values, codes),
  ) as [Pairs, Pairs, Pairs, Pairs];
  const apart = meanProduct(
    all.sum - byInner.sum - byCrossed.sum + byBoth.sum,
    all.pairs - byInner.pairs - byCrossed.pairs + byBoth.pairs,
  );
  const shared = ({ sum, pairs }: Pairs): number =>
    Math.max(0, meanProduct(sum - byBoth.sum, pairs - byBoth.pairs) - apart);
  const [ofInner, ofCrossed] = [shared(byInner), shared(byCrossed)];
  const square = meanProduct(all.squares, all.values);
  return {
    own: Math.max(0, square - apart - ofInner - ofCrossed),
    inner: ofInner,
    crossed: ofCrossed,
  };
};

/** Variance of each group's mean under the components: clusters are drawn, their values with them; infinite for none. */
export const meanVariances = (
  { own, inner, crossed }: ClusterVariances,
  clusters: Clusters,
  levels: number,
): Float64Array => {
  const within = withinGroups(clusters);
  const n = new Float64Array(levels);
  for (const code of within.group) if (code >= 0) n[code] = (n[code] as number) + 1;
  const [inners, crosses] = [within.inner, within.crossed].map((codes) =>
    squaredSizes(codes, within.group, levels),
  ) as [Float64Array, Float64Array];
  return n.map((size, g) =>
    size > 0
      ? (own + (inner * (inners[g] as number) + crossed * (crosses[g] as number)) / size) / size
      : Number.POSITIVE_INFINITY,
  );
};

type Pairs = { sum: number; pairs: number; squares: number; values: number };

const meanProduct = (sum: number, pairs: number): number => (pairs > 0 ? sum / pairs : 0);

/** Every cluster within its own group, single values where none is known; -1 throughout for a value without a group. */
const withinGroups = ({ group, inner, crossed }: Clusters): Clusters => ({
  group,
  inner: nested(group, inner),
  crossed: nested(group, crossed),
});

const nested = (group: Int32Array, codes: Int32Array): Int32Array => {
  const placeOf = new Map<string, number>();
  return codes.map((code, i) =>
    (group[i] as number) < 0 ? -1 : placed(placeOf, code < 0 ? `alone ${i}` : `${group[i]} ${code}`),
  );
};

const paired = (one: Int32Array, other: Int32Array): Int32Array => {
  const placeOf = new Map<string, number>();
  return one.map((code, i) => (code < 0 ? -1 : placed(placeOf, `${code} ${other[i]}`)));
};

const placed = (placeOf: Map<string, number>, key: string): number => {
  const place = placeOf.get(key) ?? placeOf.size;
  placeOf.set(key, place);
  return place;
};

/** Sum of the products of all ordered pairs of different values of one cluster, and how many there are. */
const pairsWithin = (values: Float64Array, codes: Int32Array): Pairs => {
  const sums = new Map<number, { sum: number; n: number }>();
  let squares = 0;
  for (const [i, code] of codes.entries()) {
    if (code < 0) continue;
    const own = sums.get(code) ?? { sum: 0, n: 0 };
    sums.set(code, { sum: own.sum + (values[i] as number), n: own.n + 1 });
    squares += (values[i] as number) ** 2;
  }
  const known = [...sums.values()];
  const count = known.reduce((total, { n }) => total + n, 0);
  return {
    sum: known.reduce((total, { sum }) => total + sum * sum, 0) - squares,
    pairs: known.reduce((total, { n }) => total + n * n, 0) - count,
    squares,
    values: count,
  };
};

/** Sum over a group's clusters of the square of how many values each has. */
const squaredSizes = (codes: Int32Array, group: Int32Array, levels: number): Float64Array => {
  const sizes = new Map<number, { group: number; n: number }>();
  for (const [i, code] of codes.entries())
    if (code >= 0) sizes.set(code, { group: group[i] as number, n: (sizes.get(code)?.n ?? 0) + 1 });
  const squares = new Float64Array(levels);
  for (const { group: g, n } of sizes.values()) squares[g] = (squares[g] as number) + n * n;
  return squares;
};
