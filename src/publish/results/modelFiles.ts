import type { Outcome } from '../../catalog/outcomes.ts';
import type { CurveRow, EffectRow, ExpectedTerm, ModeledNight } from '../../model/modeled.ts';
import { rowsOf } from '../../tables/rows.ts';
import { column, type ResultsFile } from './resultsFile.ts';

const { text, count, number } = column;

const scale = (row: EffectRow, unitKg: number): number => (row.outcome === 'value' ? unitKg : 1);
const inRowUnit = (name: string, description: string, value: (row: EffectRow) => number) =>
  number<EffectRow>(name, '', `${description}; in the row's unit`, (r, kg) => value(r) * scale(r, kg));

/** effects.csv: shrunken differences of cutters, stores and suppliers from expected, with everything needed to judge them. */
export const effectsFile = (moneyUnit: string): ResultsFile<EffectRow> => ({
  name: 'effects',
  description: 'One row a cutter, store or supplier, item and outcome: how far from expected, and how sure.',
  key: ['kind', 'id', 'item', 'outcome'],
  columns: [
    text('kind', 'cutter-item, cutter, store-item, store or supplier', (r) => r.kind),
    text('id', 'cutter, store or supplier', (r) => r.id),
    text('store', 'the store in which the id has most tests', (r) => r.store),
    text('item', 'item; empty = all items', (r) => r.item),
    text('outcome', 'class of output, saleable, unaccounted or value', (r) => r.outcome),
    text('unit', 'points of drained weight, or currency per weight', (r) =>
      r.outcome === 'value' ? moneyUnit : 'points',
    ),
    count('tests', 'tests', 'tests used', (r) => r.tests),
    count(
      'tests_needed',
      'tests',
      'more tests until it can be compared (reliability 0.7)',
      (r) => r.testsNeeded,
    ),
    inRowUnit('raw_mean', 'mean of what was measured', (r) => r.rawMean),
    inRowUnit('expected_mean', 'mean of what was expected', (r) => r.expectedMean),
    inRowUnit(
      'effect',
      'shrunken difference from expected; of a supplier, from the mean of the other suppliers',
      (r) => r.effect,
    ),
    inRowUnit('sd', 'standard deviation of the effect', (r) => r.sd),
    inRowUnit('low', 'lower end of the 95 % interval', (r) => r.low),
    inRowUnit('high', 'upper end of the 95 % interval', (r) => r.high),
    number('reliability', '', 'share of the variance that is between ids, 0-1', (r) => r.reliability),
    number(
      'chance_beyond',
      '',
      "chance that the effect is beyond the chain's threshold of points, to its side; of value, which has no threshold, that it has its sign",
      (r) => r.chanceBeyond,
    ),
    number('expected_rank', '', 'expected rank among its kind', (r) => r.expectedRank),
    number('rank_low', '', 'lower end of the 95 % interval of the rank', (r) => r.rankLow),
    number('rank_high', '', 'upper end of the 95 % interval of the rank', (r) => r.rankHigh),
    text('status', 'ok, or why it cannot be told', (r) => r.status),
    inRowUnit('difference', 'difference seen, before shrinking', (r) => r.difference),
    inRowUnit('difference_sd', 'its standard deviation; empty when it cannot be told', (r) => r.differenceSd),
  ],
});

/** weight-curve.csv: what yield to expect over the piece weight. */
export const curvesFile: ResultsFile<CurveRow> = {
  name: 'weight-curve',
  description: 'Expected yield over mean piece weight, inside the 2-98 % of the weights seen.',
  key: [],
  columns: [
    text('item', 'item', (r) => r.item),
    text('spec', 'purchase spec', (r) => r.spec),
    text('grade', 'grade', (r) => r.grade),
    number('weight', 'weight', 'mean piece weight', (r) => r.weightKg),
    number('saleable', 'fraction', 'expected saleable yield', (r) => r.saleable),
    number('low', 'fraction', 'lower end of its 95 % interval', (r) => r.low),
    number('high', 'fraction', 'upper end of its 95 % interval', (r) => r.high),
    number('main_cut', 'fraction', 'expected main-cut yield', (r) => r.mainCut),
    number('value', 'money/weight', 'expected sales value by drained weight', (r) => r.valuePerKg),
  ],
};

/** class-prices.csv: what turns class effects into value. */
export const classPricesFile: ResultsFile<ModeledNight['classPrices'][number]> = {
  name: 'class-prices',
  description: 'Mean regular price by class: value effect = sum of price x class effect / 100.',
  key: ['item', 'outcome'],
  columns: [
    text('item', 'item; empty = all items', (r) => r.item),
    text('outcome', 'class of output', (r) => r.outcome),
    number('price', 'money/weight', 'mean regular price', (r) => r.pricePerKg),
  ],
};

/** How a used test's yield comes about: terms by name, then what is expected, the room, the cutter and the rest; points. */
export type BuiltYield = {
  store: string;
  testId: string;
  outcome: Outcome;
  terms: ReadonlyMap<string, number>;
  expected: number;
  room: number;
  cutter: number;
  rest: number;
  sd: number;
};

const explained: readonly Outcome[] = ['saleable', 'main_cut'];
/** Terms in the order they are told; a term that a fit does not have is empty. */
const termNames = [
  'average',
  'method',
  'grade',
  'weight',
  'season and trend',
  'month',
  'supplier',
  'delivery',
  'closing',
] as const;

/** Rows of expected-terms.csv in the order of the used tests. A test of too few to fit has no terms, only what is expected. */
export const builtYields = (modeled: ModeledNight): BuiltYield[] =>
  rowsOf<Record<string, number> & { store: string; testId: string }>(modeled.expected).flatMap((row) =>
    explained.map((outcome): BuiltYield => {
      const points = (name: string): number => 100 * (row[`${name}_${outcome}`] as number);
      const [room, cutter] = [points('store'), points('cutter')];
      return {
        store: row['store'] as unknown as string,
        testId: row['testId'] as unknown as string,
        outcome,
        terms: byName(modeled.termsOf(row['store'] as never, row['testId'] as never, outcome)),
        expected: points('expected'),
        room,
        cutter,
        rest: points('residual') - room - cutter,
        sd: points('sd'),
      };
    }),
  );

const byName = (terms: readonly ExpectedTerm[]): Map<string, number> => {
  const unknown = terms.find(({ term }) => !termNames.includes(term as never));
  if (unknown !== undefined) throw new Error(`builtYields: no column for the term "${unknown.term}"`);
  return new Map(terms.map(({ term, size }) => [term, size]));
};

/** expected-terms.csv: the arithmetic behind each expected yield. */
export const termsFile: ResultsFile<BuiltYield> = {
  name: 'expected-terms',
  description:
    'How the yield of each used test comes about, points of drained weight: terms add to expected; expected + store_effect + cutter_effect + rest is what was measured.',
  key: ['store', 'test_id', 'outcome'],
  columns: [
    text('store', 'store that cut the test', (r) => r.store),
    text('test_id', "the store's own number of the test", (r) => r.testId),
    text('outcome', 'saleable or main_cut', (r) => r.outcome),
    ...termNames.map((name) =>
      number<BuiltYield>(
        name.replaceAll(' ', '_'),
        'points',
        name === 'closing'
          ? 'what was added so that all classes add to 100 and most cutters are at 0'
          : `what the ${name} adds; empty = not in this fit`,
        (r) => r.terms.get(name) ?? Number.NaN,
      ),
    ),
    number('expected', 'points', 'expected yield', (r) => r.expected),
    number('store_effect', 'points', "the room's effect on the item", (r) => r.room),
    number('cutter_effect', 'points', "the cutter's effect on the item", (r) => r.cutter),
    number('rest', 'points', 'what is left: this one test', (r) => r.rest),
    number('sd', 'points', 'standard deviation of one test about all that', (r) => r.sd),
  ],
};
