/**
 * Purchase cost shared over outputs by relative sales value: cost x value / total value. kg and pricePerKg of length n;
 * unpriced (NaN) or unsold lines get 0; NaN throughout when nothing has a value. Adds to purchaseCost, and every output
 * shows the same margin %. Method: general cost accounting (from memory); worked check: domain facts E12 (constructed).
 */
export const costBySalesValue = (
  kg: readonly number[],
  pricePerKg: readonly number[],
  purchaseCost: number,
): number[] => {
  const value = kg.map((weight, i) =>
    weight > 0 && (pricePerKg[i] as number) > 0 ? weight * (pricePerKg[i] as number) : 0,
  );
  const total = value.reduce((sum, part) => sum + part, 0);
  return value.map((part) => (total > 0 ? (purchaseCost * part) / total : Number.NaN));
};

/** Purchase cost shared over outputs by weight; blank lines get 0; NaN throughout when nothing was weighed. Adds to purchaseCost. */
export const costByWeight = (kg: readonly number[], purchaseCost: number): number[] => {
  const weights = kg.map((weight) => (weight > 0 ? weight : 0));
  const total = weights.reduce((sum, part) => sum + part, 0);
  return weights.map((part) => (total > 0 ? (purchaseCost * part) / total : Number.NaN));
};
