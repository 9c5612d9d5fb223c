import { type ColumnTable, table } from 'arquero';
import { type Outcome, outcomes } from '../catalog/outcomes.ts';
import type { MeasuredNight } from '../measure/measured.ts';
import { codesOf, numbersOf, textsOf } from '../tables/columns.ts';
import { effectRows } from './effectRows.ts';
import { expectedYields } from './expectedYields.ts';
import type { EffectRow, ModeledNight } from './modeled.ts';
import { huberWeights } from './robust/huberWeights.ts';
import { shrunkenMeans } from './robust/shrunkenMeans.ts';
import { weightCurves } from './weightCurves.ts';

/** The measured column behind each outcome. */
const outcomeColumns: Record<Outcome, string> = {
  saleable: 'saleableYield',
  main_cut: 'mainCutYield',
  other_cut: 'otherCutYield',
  lean_trim: 'leanTrimYield',
  fat: 'fatYield',
  bone: 'boneYield',
  waste: 'wasteYield',
  unaccounted: 'unaccountedYield',
  value: 'valuePerKg',
};

/** Outcomes that close: they share one shrinkage so that their effects add to 0. */
const joint = outcomes.map((outcome) => outcome !== 'value');
const rounds = 6;

type Codes = { codes: Int32Array; levels: string[] };

/**
 * What each used test should have yielded and how far each supplier, store and cutter is from it. First version: robust
 * cell means for what is expected (expectedYields) and empirical Bayes means for effects, fitted in turn (backfitting):
 * supplier, store x item, cutter x item; store and cutter are then pooled over items.
 */
export const model = (measured: MeasuredNight, settings: { effectPoints: number }): ModeledNight => {
  const used = measured.tests.reify(usedRows(measured.tests));
  const n = used.numRows();
  const text = (name: string): string[] => textsOf(used, name);
  const join = (...names: string[]): string[] => {
    const columns = names.map(text);
    return Array.from({ length: n }, (_, i) => columns.map((column) => column[i]).join('\u0000'));
  };
  const actual = outcomes.map((outcome) => numbersOf(used, outcomeColumns[outcome]));
  const { expected } = expectedYields(actual, {
    group: join('item', 'spec', 'treatment'),
    method: text('method'),
    grade: text('grade'),
    weightClass: text('weightClass'),
  });
  const residual = actual.map((values, k) =>
    values.map((value, i) => value - ((expected[k] as Float64Array)[i] as number)),
  );
  const codes: Record<string, Codes> = {
    supplier: codesOf(text('supplier')),
    'store-item': codesOf(join('store', 'item')),
    'cutter-item': codesOf(join('cutter', 'item')),
    store: codesOf(text('store')),
    cutter: codesOf(text('cutter')),
  };
  const effects = fitEffects(residual, codes, {
    weights: groupWeights(residual, codes['cutter-item'] as Codes),
    text,
    settings,
    actual,
    expected,
  });
  return {
    expected: expectedTable(used, expected, residual),
    effects,
    curves: n === 0 ? [] : weightCurves(used),
    adjustedFor: ['item, spec and treatment', 'method', 'grade', 'weight class', 'supplier', 'store'],
  };
};

const usedRows = (tests: ColumnTable): number[] =>
  textsOf(tests, tests.numRows() === 0 ? 'store' : 'state').flatMap((state, i) =>
    state === 'held' ? [] : [i],
  );

/** One Huber weight a test among the tests of its own cutter and item: a keying error counts less, a habit counts whole. */
const groupWeights = (residual: readonly Float64Array[], { codes, levels }: Codes): Float64Array => {
  const weights = new Float64Array(codes.length).fill(1);
  const members: number[][] = levels.map(() => []);
  for (const [i, code] of codes.entries()) (members[code] as number[]).push(i);
  for (const own of members) {
    for (const values of residual)
      for (const [place, weight] of huberWeights(own.map((i) => values[i] as number)).entries())
        weights[own[place] as number] = Math.min(weights[own[place] as number] as number, weight);
  }
  return weights;
};

type Fit = {
  weights: Float64Array;
  text: (name: string) => string[];
  settings: { effectPoints: number };
  actual: readonly Float64Array[];
  expected: readonly Float64Array[];
};

const fitEffects = (
  residual: readonly Float64Array[],
  codes: Record<string, Codes>,
  fit: Fit,
): EffectRow[] => {
  const rows: EffectRow[] = [];
  const parts = ['supplier', 'store-item', 'cutter-item'] as const;
  const current = new Map(
    parts.map((part) => [part as string, residual.map((values) => new Float64Array(values.length))]),
  );
  const without = (part: string): Float64Array[] =>
    residual.map((values, k) =>
      values.map((value, i) => {
        let rest = value;
        for (const [name, fitted] of current)
          if (name !== part) rest -= (fitted[k] as Float64Array)[i] as number;
        return rest;
      }),
    );
  const fitted = (part: string, left: readonly Float64Array[]) =>
    shrunkenMeans(left, (codes[part] as Codes).codes, (codes[part] as Codes).levels.length, {
      weights: fit.weights,
      joint,
    });
  for (let round = 0; round < rounds; round++) {
    for (const part of parts) {
      const means = fitted(part, without(part));
      const own = (codes[part] as Codes).codes;
      current.set(
        part,
        means.effect.map((effect) => Float64Array.from(own, (code) => effect[code] as number)),
      );
    }
  }
  const stores = fitted('store-item', without('store-item'));
  const emit = (
    kind: EffectRow['kind'],
    left: readonly Float64Array[],
    extra?: { sd: readonly Float64Array[]; codes: Codes },
  ): void => {
    const means = fitted(kind, left);
    for (const row of effectRows(kind, means, {
      ...fit,
      codes: codes[kind] as Codes,
      ...(extra === undefined ? {} : { storeSd: extra }),
    }))
      rows.push(row);
  };
  emit('supplier', without('supplier'));
  emit('store-item', without('store-item'));
  emit('store', without('store-item'));
  const storeSd = { sd: stores.sd, codes: codes['store-item'] as Codes };
  emit('cutter-item', without('cutter-item'), storeSd);
  emit('cutter', without('cutter-item'), storeSd);
  return rows;
};

const expectedTable = (
  used: ColumnTable,
  expected: readonly Float64Array[],
  residual: readonly Float64Array[],
): ColumnTable => {
  const columns: Record<string, ArrayLike<unknown>> = {
    store: textsOf(used, 'store'),
    testId: textsOf(used, 'testId'),
  };
  for (const [k, outcome] of outcomes.entries()) {
    columns[`expected_${outcome}`] = expected[k] as Float64Array;
    columns[`residual_${outcome}`] = residual[k] as Float64Array;
  }
  return table(columns as Record<string, unknown[]>);
};
