/**
 * Price of range B at which it is worth the same as range A at priceA, both per billed unit of weight. value: expected
 * sales value per billed unit; labor per billed unit. sameMargin: the same margin % of sales; sameDollars: the same
 * money per unit bought after labor. NaN when valueA is not above 0.
 */
export const indifferencePrice = (
  priceA: number,
  rangeA: { value: number; labor: number },
  rangeB: { value: number; labor: number },
): { sameMargin: number; sameDollars: number } => ({
  sameMargin: rangeA.value > 0 ? (priceA * rangeB.value) / rangeA.value : Number.NaN,
  sameDollars: priceA + rangeB.value - rangeA.value - (rangeB.labor - rangeA.labor),
});
