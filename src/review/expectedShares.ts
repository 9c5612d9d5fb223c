import { median } from 'simple-statistics';
import { classOutcomes } from '../catalog/outcomes.ts';
import type { ModeledNight } from '../model/modeled.ts';
import { numbersOf, textsOf } from '../tables/columns.ts';
import { matchedRows } from '../tables/groupedRows.ts';
import type { LineCell, LineCells } from './lineCells.ts';
import type { ReviewFacts } from './reviewFacts.ts';

/**
 * Share of drained weight that each line should have had (flat, as LineCells.kg), and how much wider than usual the test
 * scatters (variance ratio, by its pieces). NaN shares where a cell has no used test. `tail`: the model's chance that a test like
 * the most lies as far off in its composition as a whole (robust distance of log-ratios); NaN where it does not say.
 */
export type ExpectedShares = { share: Float64Array; widening: Float64Array; tail: Float64Array };

/** Outcomes behind the places of lineClasses. */
const lineOutcomes = classOutcomes.filter((outcome) => outcome !== 'unaccounted');

/**
 * A used test is expected to be what the model says for it, its own store and cutter included; a held one, which the model
 * has not seen, what used tests of its cell and grade are expected to be, plus the effects of its cutter and item (else of
 * its store and item) there. The share of a class is parted among its lines as in the cell's median test.
 */
export const expectedShares = (
  facts: ReviewFacts,
  lines: LineCells,
  modeled: ModeledNight,
): ExpectedShares => {
  const model = modelColumns(facts, modeled);
  const share = new Float64Array(lines.kg.length).fill(Number.NaN);
  const widening = new Float64Array(facts.n).fill(1);
  for (const cell of lines.cells) {
    const parts = linePartsOf(cell, lines);
    const seen = cell.used.filter((i) => model.isThere(i));
    if (seen.length === 0) continue;
    const usual = cellMeans(seen, (i) => facts.grade[i] as string, model);
    const spread = spreadByPieces(seen, facts, model);
    for (const i of cell.members) {
      widening[i] = spread(i);
      for (const [j, classPlace] of cell.classes.entries()) {
        const base = model.isThere(i)
          ? model.expected(i, classPlace)
          : usual(facts.grade[i] as string, classPlace);
        share[(lines.start[i] as number) + j] =
          Math.max(0, base + model.people(i, classPlace)) * (parts[j] as number);
      }
    }
  }
  return { share, widening, tail: Float64Array.from({ length: facts.n }, (_, i) => model.tail(i)) };
};

/** Key of a person or a store on an item. */
const itemKey = (item: string, who: string): string => `${item}\u0000${who}`;

type ModelColumns = {
  isThere: (i: number) => boolean;
  expected: (i: number, classPlace: number) => number;
  people: (i: number, classPlace: number) => number;
  sd: (i: number) => number;
  tail: (i: number) => number;
};

const orZero = (value: number | undefined): number =>
  value === undefined || Number.isNaN(value) ? 0 : value;

const modelColumns = (facts: ReviewFacts, { expected }: ModeledNight): ModelColumns => {
  const rows = matchedRows(
    [textsOf(expected, 'store'), textsOf(expected, 'testId')],
    [facts.store, facts.testId],
  );
  const place = new Int32Array(facts.n).fill(-1);
  for (const [row, i] of rows.entries()) if (i >= 0) place[i] = row;
  const columns = lineOutcomes.map((outcome) => ({
    expected: numbersOf(expected, `expected_${outcome}`),
    store: numbersOf(expected, `store_${outcome}`),
    cutter: numbersOf(expected, `cutter_${outcome}`),
  }));
  const sd = numbersOf(expected, 'sd_saleable');
  const tail = numbersOf(expected, 'composition_tail');
  const byCutter = rowOfFirst(facts, place, facts.cutter);
  const byStore = rowOfFirst(facts, place, facts.store);
  return {
    isThere: (i) => (place[i] as number) >= 0,
    expected: (i, classPlace) => orZero(columns[classPlace]?.expected[place[i] as number]),
    people: (i, classPlace) => {
      const own = columns[classPlace];
      const key = itemKey(facts.item[i] as string, facts.cutter[i] as string);
      const row = (place[i] as number) >= 0 ? (place[i] as number) : byCutter.get(key);
      if (row !== undefined) return orZero(own?.store[row]) + orZero(own?.cutter[row]);
      return orZero(
        own?.store[byStore.get(itemKey(facts.item[i] as string, facts.store[i] as string)) ?? -1],
      );
    },
    sd: (i) => sd[place[i] as number] as number,
    tail: (i) => ((place[i] as number) >= 0 ? (tail[place[i] as number] as number) : Number.NaN),
  };
};

/** A row of the expected table for each item and person (or store): effects are the same in all of them. */
const rowOfFirst = (facts: ReviewFacts, place: Int32Array, who: readonly string[]): Map<string, number> => {
  const found = new Map<string, number>();
  for (const [i, row] of place.entries())
    if (row >= 0) found.set(itemKey(facts.item[i] as string, who[i] as string), row);
  return found;
};

/** Mean expectation of a cell by grade and class; the cell's where the grade was not seen. */
const cellMeans = (
  seen: readonly number[],
  gradeOf: (i: number) => string,
  model: ModelColumns,
): ((grade: string, classPlace: number) => number) => {
  const sums = new Map<string, { n: number; sum: Float64Array }>();
  const add = (key: string, i: number): void => {
    const own = sums.get(key) ?? { n: 0, sum: new Float64Array(lineOutcomes.length) };
    own.n += 1;
    for (let c = 0; c < own.sum.length; c++) own.sum[c] = (own.sum[c] as number) + model.expected(i, c);
    sums.set(key, own);
  };
  for (const i of seen) {
    add('all', i);
    add(`grade ${gradeOf(i)}`, i);
  }
  return (grade, classPlace) => {
    const own = sums.get(`grade ${grade}`) ?? sums.get('all');
    return own === undefined ? 0 : (own.sum[classPlace] ?? 0) / own.n;
  };
};

/** Variance of a test by its pieces, against the cell's median. */
const spreadByPieces = (
  seen: readonly number[],
  facts: ReviewFacts,
  model: ModelColumns,
): ((i: number) => number) => {
  const usual = median(seen.map((i) => model.sd(i)));
  if (!(usual > 0)) return () => 1;
  const byPieces = new Map<number, number>();
  for (const i of seen) byPieces.set(facts.pieces[i] as number, (model.sd(i) / usual) ** 2);
  return (i) => {
    const own = byPieces.get(facts.pieces[i] as number) ?? 1;
    return own > 0 ? own : 1;
  };
};

/** Each line's part of its class in the median used test; parts of one class add to 1. */
const linePartsOf = (cell: LineCell, lines: LineCells): Float64Array => {
  const k = cell.outputs.length;
  const classSum = (i: number, classPlace: number): number => {
    let sum = 0;
    for (let j = 0; j < k; j++)
      if (cell.classes[j] === classPlace) sum += lines.kg[(lines.start[i] as number) + j] as number;
    return sum;
  };
  const chosen = cell.used.length > 0 ? cell.used : cell.members;
  const raw = Float64Array.from(cell.classes, (classPlace, j) => {
    if (cell.classes.filter((other) => other === classPlace).length === 1) return 1;
    return median(
      chosen.map((i) => (lines.kg[(lines.start[i] as number) + j] as number) / classSum(i, classPlace) || 0),
    );
  });
  return raw.map((value, j) => {
    const total = raw.reduce((sum, other, m) => (cell.classes[m] === cell.classes[j] ? sum + other : sum), 0);
    return total > 0 ? value / total : 0;
  });
};
