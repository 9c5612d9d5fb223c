import type { MeasuredTest } from '../../measure/measured.ts';
import type { ModeledNight } from '../../model/modeled.ts';

/** What moves a figure per billed kg. Supplier takes in its bags: purge and short weight. */
export const partNames = [
  'grade',
  'weight',
  'spec',
  'supplier',
  'method',
  'price',
  'season',
  'cutting',
] as const;
export type PartName = (typeof partNames)[number];
/** Figures that are followed: sales value per billed kg (currency), saleable share of billed weight (fraction). */
export type Followed = 'value' | 'saleable';

/** One test's figure per billed kg, split into parts that add to `total`. */
export type SplitTest = { test: MeasuredTest; total: number; parts: Record<PartName, number> };

const partOf: Record<string, PartName> = {
  average: 'spec',
  method: 'method',
  grade: 'grade',
  weight: 'weight',
  supplier: 'supplier',
  delivery: 'supplier',
};
const seasonTerms = new Set(['season and trend', 'month']);

/**
 * Splits the figure of each test by the terms of its expected yield; what the terms leave is cutting. Price is what the
 * store's price in force adds to the regular list. Tests without terms, price or billed weight are left out.
 */
export const splitTests = (
  tests: readonly MeasuredTest[],
  followed: Followed,
  termsOf: ModeledNight['termsOf'],
): SplitTest[] => {
  const known = tests.filter(
    (test) =>
      test.billedFilledKg > 0 &&
      Number.isFinite(perDrained(test, followed)) &&
      (followed === 'saleable' || (test.unpriced === '' && Number.isFinite(test.salesValue))),
  );
  const billed = known.reduce((sum, test) => sum + test.billedFilledKg, 0);
  const usable = known.reduce((sum, test) => sum + test.drainedKg, 0) / billed;
  return known.flatMap((test) => {
    const terms = termsOf(test.store, test.testId, followed);
    return terms.length === 0 ? [] : [splitTest(test, followed, { terms, usable })];
  });
};

/** Why none of an item's tests can be split, in words that say what is missing. */
export const unsplitText = (
  tests: readonly MeasuredTest[],
  followed: Followed,
  termsOf: ModeledNight['termsOf'],
): string => {
  if (tests.every((test) => termsOf(test.store, test.testId, followed).length === 0))
    return 'too few tests of one spec and treatment to say what each should have yielded';
  const unpriced = [...new Set(tests.flatMap((test) => test.unpriced.split(';').filter(Boolean)))].sort();
  return followed === 'value' && unpriced.length > 0
    ? `no price in force for ${unpriced.join(', ')}`
    : 'no test whose weights can be split';
};

const perDrained = (test: MeasuredTest, followed: Followed): number =>
  followed === 'value' ? test.valuePerKg : test.saleableYield;

const splitTest = (
  test: MeasuredTest,
  followed: Followed,
  { terms, usable }: { terms: ReturnType<ModeledNight['termsOf']>; usable: number },
): SplitTest => {
  const own = perDrained(test, followed);
  const ownUsable = test.drainedKg / test.billedFilledKg;
  const total = followed === 'value' ? test.salesValue / test.billedFilledKg : own * ownUsable;
  const parts = Object.fromEntries(partNames.map((name) => [name, 0])) as Record<PartName, number>;
  // terms of yields come in points, of value in currency per kg
  const scale = usable * (followed === 'value' ? 1 : 0.01);
  for (const { term, size } of terms) {
    const name = partOf[term] ?? (seasonTerms.has(term) ? 'season' : undefined);
    if (name !== undefined) parts[name] += scale * size;
  }
  parts.supplier += (ownUsable - usable) * own;
  parts.price = total - ownUsable * own;
  const explained = partNames.reduce((sum, name) => sum + parts[name], 0);
  parts.cutting = total - explained;
  return { test, total, parts };
};
