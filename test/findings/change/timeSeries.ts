import { table } from 'arquero';
import { type Outcome, outcomes } from '../../../src/catalog/outcomes.ts';
import { type PeopleTests, peopleTests } from '../../../src/findings/change/peopleTests.ts';
import type { MeasuredTest } from '../../../src/measure/measured.ts';

/**
 * A test as the time findings see it: who, where, what, when, by how many points saleable is off, how many points of main
 * cut went to lean trim, of lean trim to fat and of lean trim missing from the sheet, and whether the item gives lean trim at all.
 */
export type MadeTest = {
  store: string;
  cutter: string;
  item: string;
  day: number;
  points: number;
  toTrim?: number;
  trimToFat?: number;
  missing?: number;
  hasTrim?: boolean;
};

/** Where one point of saleable comes from and goes to; value in currency per kg. */
const shares: Record<Outcome, number> = {
  saleable: 1,
  main_cut: 0.85,
  other_cut: 0.05,
  lean_trim: 0.1,
  fat: -0.9,
  bone: 0,
  waste: 0,
  unaccounted: -0.1,
  value: 0.3,
};

/** The same of one point of main cut cut to trim. */
const trimmed: Partial<Record<Outcome, number>> = { main_cut: -1, lean_trim: 1, value: -0.03 };

/** The same of one point of lean trim that fat takes. */
const fattened: Partial<Record<Outcome, number>> = { saleable: -1, lean_trim: -1, fat: 1, value: -0.1 };

/** The same of one point of lean trim that is missing. */
const lost: Partial<Record<Outcome, number>> = { saleable: -1, lean_trim: -1, unaccounted: 1, value: -0.1 };

/** Columns of made tests, SD of one test 1.9 points of saleable, stores' effects 0. */
export const madePeople = (made: readonly MadeTest[]): PeopleTests => {
  const { used, expected } = madeNight(made);
  return peopleTests(used, expected, () => Number.NaN);
};

/** The same as used tests and the model's table of them, in order of store and test. */
export const madeNight = (made: readonly MadeTest[]) => {
  const rows = made
    .map((test, i) => ({ ...test, testId: `t${String(i).padStart(5, '0')}` }))
    .sort((a, b) => (a.store < b.store ? -1 : a.store > b.store ? 1 : a.testId < b.testId ? -1 : 1));
  const used = rows.map(
    ({ store, cutter, item, day, testId }) =>
      ({
        store,
        cutter,
        item,
        cutDay: day,
        testId,
        region: '',
        sourceFile: `${store}.csv`,
        sourceLine: 2,
        state: 'used',
      }) as MeasuredTest,
  );
  const columns: Record<string, (string | number)[]> = { store: [], testId: [] };
  for (const outcome of outcomes) {
    const unit = outcome === 'value' ? 1 : 100;
    const isGiven = (row: MadeTest): boolean => outcome !== 'lean_trim' || row.hasTrim !== false;
    columns[`residual_${outcome}`] = rows.map((row) =>
      isGiven(row)
        ? (row.points * shares[outcome] +
            (row.toTrim ?? 0) * (trimmed[outcome] ?? 0) +
            (row.trimToFat ?? 0) * (fattened[outcome] ?? 0) +
            (row.missing ?? 0) * (lost[outcome] ?? 0)) /
          unit
        : 0,
    );
    columns[`sd_${outcome}`] = rows.map((row) =>
      isGiven(row) ? (1.9 * Math.abs(shares[outcome])) / unit : 0,
    );
    columns[`store_${outcome}`] = rows.map(() => 0);
  }
  columns['store'] = rows.map((row) => row.store);
  columns['testId'] = rows.map((row) => row.testId);
  return { used, expected: table(columns) };
};
