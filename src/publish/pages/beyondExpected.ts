import type { ModeledNight } from '../../model/modeled.ts';
import { pickedRows } from '../../tables/rows.ts';

type Beyond = { withTime: number; withSupplier: number };
type Residual = { store: string; testId: string; residual_saleable: number };
type Place = { store: string; testId: string; item: string };

const ofTime = new Set(['month', 'season and trend', 'delivery']);
const ofSupplier = new Set(['supplier', 'delivery']);

const keyOf = ({ store, testId }: { store: string; testId: string }): string => `${store}\u0000${testId}`;

/**
 * By test (store and test id with a NUL between), its saleable yield less what was expected of it, as a fraction. Expected
 * yield counts the month, the supplier and the delivery, so a mean of what is left shows no month and no supplier apart: each is put back where means are taken by it.
 * What is put back of the time is less its mean over the item, as the trend is read against the whole period.
 */
export const beyondExpected = (
  tests: readonly Place[],
  { expected, termsOf }: Pick<ModeledNight, 'expected' | 'termsOf'>,
): Map<string, Beyond> => {
  const itemOf = new Map(tests.map((test) => [keyOf(test), test.item]));
  const rows = pickedRows<Residual, keyof Residual>(expected, ['store', 'testId', 'residual_saleable']).map(
    (row) => ({ ...row, item: itemOf.get(keyOf(row)) ?? '' }),
  );
  const put = rows.map(({ store, testId }) => {
    const terms = termsOf(store, testId, 'saleable');
    const sum = (names: ReadonlySet<string>): number =>
      terms.reduce((total, { term, size }) => (names.has(term) ? total + size / 100 : total), 0);
    return { time: sum(ofTime), supplier: sum(ofSupplier) };
  });
  const means = new Map<string, { sum: number; tests: number }>();
  for (const [i, { item }] of rows.entries()) {
    const mean = means.get(item) ?? { sum: 0, tests: 0 };
    mean.sum += (put[i] as (typeof put)[number]).time;
    mean.tests++;
    means.set(item, mean);
  }
  return new Map(
    rows.map(({ item, residual_saleable: left, ...row }, i) => {
      const { time, supplier } = put[i] as (typeof put)[number];
      const { sum, tests } = means.get(item) as { sum: number; tests: number };
      return [keyOf(row), { withTime: left + time - sum / tests, withSupplier: left + supplier }];
    }),
  );
};
