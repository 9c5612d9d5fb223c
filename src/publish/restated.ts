import { dayFromIso } from '../units/calendarDay.ts';

/** A row of results/tests.csv: cells as text by column. */
type ResultRow = Readonly<Record<string, string>>;
export type MovedFigure = { figure: string; was: string; now: string; by: number };
/** A test whose published figures are no longer what they were: another version of it, or it was withdrawn. */
export type RestatedTest = {
  store: string;
  testId: string;
  was: string;
  now: string;
  moved: MovedFigure[];
};

/** Columns that follow from the test itself; what the model expects moves every night and is no restatement. */
const ownFigures = [
  'billed_weight',
  'received_weight',
  'purge_weight',
  'drained_weight',
  'unaccounted_weight',
  'pieces_in',
  'saleable_yield',
  'main_cut_yield',
  'other_cut_yield',
  'lean_trim_yield',
  'fat_yield',
  'bone_yield',
  'waste_yield',
  'minutes',
  'purchase_cost',
  'sales_value',
  'gross_margin',
  'cost_per_saleable',
];

const keyOf = (row: ResultRow): string => `${row['store']}\u0000${row['test_id']}`;
const placeOf = (row: ResultRow): string => `${row['source_file']} line ${row['source_line']}`;

/**
 * Tests of the release before that a new version or a withdrawal changed, with each figure that moved, from what to what and
 * by how much (NaN where one of the two is blank). `before`, `now`: rows of results/tests.csv. Tests cut before `firstDay`
 * are no longer kept and not restated. Sorted by (store, test).
 */
export const restated = (
  before: readonly ResultRow[],
  now: readonly ResultRow[],
  firstDay = Number.NEGATIVE_INFINITY,
): RestatedTest[] => {
  const rowOf = new Map(now.map((row) => [keyOf(row), row]));
  return before
    .filter((old) => !(dayFromIso(old['cut_date'] ?? '') < firstDay))
    .flatMap((old): RestatedTest[] => {
      const row = rowOf.get(keyOf(old));
      const about = { store: old['store'] ?? '', testId: old['test_id'] ?? '', was: placeOf(old) };
      if (row === undefined) return [{ ...about, now: '', moved: [] }];
      if (placeOf(row) === about.was) return [];
      const moved = movedFigures(old, row);
      return moved.length === 0 ? [] : [{ ...about, now: placeOf(row), moved }];
    })
    .sort((a, b) => (`${a.store}\u0000${a.testId}` < `${b.store}\u0000${b.testId}` ? -1 : 1));
};

const movedFigures = (old: ResultRow, row: ResultRow): MovedFigure[] =>
  ownFigures
    .map((figure) => ({ figure, was: old[figure] ?? '', now: row[figure] ?? '' }))
    .filter(({ was, now }) => was !== now)
    .map((one) => ({
      ...one,
      by: one.was === '' || one.now === '' ? Number.NaN : Number(one.now) - Number(one.was),
    }));
