import { type ColumnTable, table } from 'arquero';
import { type Outcome, outcomes } from '../catalog/outcomes.ts';
import type { MeasuredNight } from '../measure/measured.ts';
import { codesOf, numbersOf, textsOf } from '../tables/columns.ts';
import { monthOf } from '../units/calendarDay.ts';
import { classPrices } from './classPrices.ts';
import { type ClassPrices, closeEffects } from './closeEffects.ts';
import { type EffectSource, effectRows } from './effectRows.ts';
import { expectedYields } from './expectedYields.ts';
import { type FairEffects, fairEffects, type LevelEstimate, type PeopleCodes } from './fairEffects.ts';
import { groupedTails } from './groupedTails.ts';
import type { EffectKind, ExpectedTerm, ModeledNight, SupplierItemEffect, WeightModel } from './modeled.ts';
import { madScale } from './robust/huberWeights.ts';
import { supplierEstimates } from './supplierEstimates.ts';
import { weightCurves } from './weightCurves.ts';
import { weightModel } from './weightModel.ts';
import { termsOf, type YieldFit, type YieldProblem, yieldFit } from './yieldFit.ts';

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

const fewestToFit = 40;
const nul = '\u0000';

/** Facts of the used tests by column, one entry a test, sorted by (store, testId). */
type Facts = {
  n: number;
  text: (name: string) => string[];
  number: (name: string) => Float64Array;
  join: (...names: string[]) => string[];
  actual: Float64Array[];
};
/** Tests of one item, spec and treatment and how they were fitted; undefined fit = too few tests, means of cells instead. */
type Group = { rows: number[]; problem: YieldProblem; fit: YieldFit | undefined };

/**
 * What each used test should have yielded in an average store by an average cutter, and how far each supplier, store and
 * cutter is from it. Per item, spec and treatment a robust mixed model (yieldFit); then the people's and rooms' shares of
 * what is left, over all items at once (fairEffects), closed so that class effects add to 0.
 */
export const model = (measured: MeasuredNight, settings: { effectPoints: number }): ModeledNight => {
  const used = measured.tests.reify(usedRows(measured.tests));
  const facts = factsOf(used);
  const suppliers = codesOrMissing(facts.text('supplier'));
  const groups = fitGroups(facts, suppliers.codes);
  const expected = outcomes.map(() => new Float64Array(facts.n));
  const sd = outcomes.map(() => new Float64Array(facts.n));
  for (const group of groups) fillGroup(group, { expected, sd });
  const people = peopleCodes(facts);
  const items = codesOf(facts.text('item'));
  const item = { codes: items.codes, levels: items.levels.length };
  const found = differences(facts.actual, expected).map((values, k) =>
    fairEffects(points(values), points(sd[k] as Float64Array), { people: people.codes, item }),
  );
  const prices = classPrices(measured.outputs, used);
  const centers = closedCenters(found, items.levels, { pricesOf: prices.of, unsold: unsoldItems(facts) });
  for (const [k, values] of expected.entries())
    for (const [i, code] of item.codes.entries())
      values[i] = (values[i] as number) + ((centers[code] as number[])[k] as number);
  const residual = differences(facts.actual, expected);
  const effects = found.map((own) => testEffects(own, people.codes));
  const shared = { facts, expected, groups, prices, effectPoints: settings.effectPoints };
  const isConverged = found.every((one) => one.converged);
  const kinds: [EffectKind, keyof PeopleCodes][] = [
    ['store-item', 'storeItem'],
    ['store', 'store'],
    ['cutter-item', 'cutterItem'],
    ['cutter', 'cutter'],
  ];
  const suppliersFound = supplierEstimates(
    residual.map((values, k) => withSupplier(values, k, { groups, effects })),
    suppliers,
  );
  return {
    expected: expectedTable(used, {
      expected,
      residual,
      sd,
      effects,
      tails: groupedTails(groups, expected, effects),
    }),
    effects: [
      ...effectRows(
        sourceOf('supplier', suppliers.codes, suppliers.levels.map(nameOnly), {
          ...shared,
          isConverged: true,
          estimates: suppliersFound,
        }),
      ),
      ...kinds.flatMap(([kind, key]) =>
        effectRows(
          sourceOf(kind, people.codes[key].codes, people.names[key], {
            ...shared,
            isConverged,
            estimates: found.map((one) => one[key]),
          }),
        ),
      ),
    ],
    ...weights(groups, facts),
    supplierItems: groups.flatMap((group) => supplierItems(group, facts, suppliers.levels)),
    classPrices: prices.rows,
    termsOf: explainer(groups, facts, (i) => centers[item.codes[i] as number] as number[]),
    adjustedFor,
  };
};

const differences = (actual: readonly Float64Array[], expected: readonly Float64Array[]): Float64Array[] =>
  actual.map((values, k) => values.map((value, i) => value - ((expected[k] as Float64Array)[i] as number)));

/** What is added to the expectations of each item so that a cutter like the many is at 0; closed like effects. By item and outcome. */
const closedCenters = (
  found: readonly FairEffects[],
  items: readonly string[],
  { pricesOf, unsold }: { pricesOf: (item: string) => ClassPrices; unsold: ReadonlySet<string> },
): number[][] =>
  items.map((name, code) =>
    closeEffects(
      found.map(({ center, cutterItem }): LevelEstimate => {
        const like = cutterItem[0] as LevelEstimate;
        const mean = center[code] as number;
        const sd = Math.sqrt(like.between + like.within / 100);
        return { ...like, mean, sd, parts: [{ share: 1, mean, sd }] };
      }),
      { isSoldWhole: !unsold.has(name), prices: pricesOf(name) },
    ).map((own) => own.mean / 100),
  );

/** Items with a test in which some lean trim does not count as saleable. */
const unsoldItems = ({ text, actual }: Facts): Set<string> => {
  const item = text('item');
  const of = (outcome: Outcome): Float64Array => actual[outcomes.indexOf(outcome)] as Float64Array;
  const [saleable, main, other, lean] = [of('saleable'), of('main_cut'), of('other_cut'), of('lean_trim')];
  const unsold = new Set<string>();
  for (const [i, value] of saleable.entries())
    if (Math.abs(value - (main[i] as number) - (other[i] as number) - (lean[i] as number)) > 1e-9)
      unsold.add(item[i] as string);
  return unsold;
};

const points = (values: Float64Array): Float64Array => values.map((value) => value * 100);

/** Effects of each test's own store and cutter on its item, fraction of drained. */
const testEffects = (
  found: FairEffects,
  codes: PeopleCodes,
): { store: Float64Array; cutter: Float64Array } => {
  const of = (key: keyof PeopleCodes): Float64Array =>
    Float64Array.from(codes[key].codes, (code) => (found[key][code] as LevelEstimate).mean / 100);
  return { store: of('storeItem'), cutter: of('cutterItem') };
};

const adjustedFor = [
  'item, spec and treatment',
  'method',
  'grade',
  'weight of the piece',
  'month',
  'supplier and delivery',
  'store',
];

const usedRows = (tests: ColumnTable): number[] =>
  textsOf(tests, tests.numRows() === 0 ? 'store' : 'state').flatMap((state, i) =>
    state === 'held' ? [] : [i],
  );

const factsOf = (used: ColumnTable): Facts => {
  const n = used.numRows();
  const text = (name: string): string[] => textsOf(used, name);
  return {
    n,
    text,
    number: (name) => numbersOf(used, name),
    join: (...names) => {
      const columns = names.map(text);
      return Array.from({ length: n }, (_, i) => columns.map((column) => column[i]).join(nul));
    },
    actual: outcomes.map((outcome) => numbersOf(used, outcomeColumns[outcome])),
  };
};

const nameOnly = (id: string) => ({ id, store: '', item: '' });

/** Codes of texts, '' = -1 (not known). */
const codesOrMissing = (texts: readonly string[]): { codes: Int32Array; levels: string[] } => {
  const { codes, levels } = codesOf(texts);
  return levels[0] === ''
    ? { codes: codes.map((code) => code - 1), levels: levels.slice(1) }
    : { codes, levels };
};

/** A lot where lots hold 2 tests or more in the mean, else the supplier's month; -1 where the supplier is not known. */
const deliveryCodes = (facts: Facts): Int32Array => {
  const lots = codesOrMissing(
    facts.join('supplier', 'lot').map((key) => (key.startsWith(nul) || key.endsWith(nul) ? '' : key)),
  );
  const tested = lots.codes.filter((code) => code >= 0).length;
  if (lots.levels.length > 0 && tested >= 2 * lots.levels.length) return lots.codes;
  const supplier = facts.text('supplier');
  const day = facts.number('cutDay');
  return codesOrMissing(
    supplier.map((name, i) => (name === '' ? '' : `${name}${nul}${monthOf(day[i] as number)}`)),
  ).codes;
};

const fitGroups = (facts: Facts, supplier: Int32Array): Group[] => {
  const { codes, levels } = codesOf(facts.join('item', 'spec', 'treatment'));
  const members: number[][] = levels.map(() => []);
  for (const [i, code] of codes.entries()) (members[code] as number[]).push(i);
  const columns = {
    method: facts.text('method'),
    grade: facts.text('grade'),
    weightClass: facts.text('weightClass'),
    cutter: codesOf(facts.text('cutter')).codes,
    store: codesOf(facts.text('store')).codes,
    delivery: deliveryCodes(facts),
    pieceKg: facts.number('meanPieceKg'),
    day: facts.number('cutDay'),
    pieces: facts.number('piecesIn'),
  };
  return members.map((rows): Group => {
    const texts = (values: readonly string[]): string[] => rows.map((i) => values[i] as string);
    const numbers = (values: Float64Array): Float64Array =>
      Float64Array.from(rows, (i) => values[i] as number);
    const integers = (values: Int32Array): Int32Array => Int32Array.from(rows, (i) => values[i] as number);
    const problem: YieldProblem = {
      method: texts(columns.method),
      grade: texts(columns.grade),
      cutter: integers(columns.cutter),
      store: integers(columns.store),
      supplier: integers(supplier),
      delivery: integers(columns.delivery),
      pieceKg: numbers(columns.pieceKg),
      day: numbers(columns.day),
      pieces: numbers(columns.pieces),
      actual: facts.actual.map(numbers),
    };
    return { rows, problem, fit: rows.length < fewestToFit ? undefined : yieldFit(problem) };
  });
};

/** Writes a group's expectations and SDs to the night's columns (preallocated). */
const fillGroup = (
  { rows, problem, fit }: Group,
  out: { expected: Float64Array[]; sd: Float64Array[] },
): void => {
  const expected =
    fit?.expected ??
    expectedYields(problem.actual, {
      group: rows.map(() => ''),
      method: problem.method,
      grade: problem.grade,
      weightClass: rows.map(() => ''),
    }).expected;
  for (const [k, values] of expected.entries()) {
    const sd = fit?.sd[k] ?? cellSd(problem.actual[k] as Float64Array, values);
    for (const [place, i] of rows.entries()) {
      (out.expected[k] as Float64Array)[i] = values[place] as number;
      (out.sd[k] as Float64Array)[i] = sd[place] as number;
    }
  }
};

/** One SD for the tests of a small group: of their residuals, robust; the plain SD where more than half are alike. */
const cellSd = (actual: Float64Array, expected: Float64Array): Float64Array => {
  const residual = [...actual].map((value, i) => value - (expected[i] as number));
  const robust = madScale(residual);
  const plain = Math.sqrt(residual.reduce((sum, value) => sum + value * value, 0) / residual.length);
  return new Float64Array(actual.length).fill(robust > 1e-9 ? robust : plain > 1e-9 ? plain : 0);
};

type People = {
  codes: PeopleCodes;
  names: Record<keyof PeopleCodes, { id: string; store: string; item: string }[]>;
};

const peopleCodes = (facts: Facts): People => {
  const store = facts.text('store');
  const of = (...names: string[]) => codesOf(facts.join(...names));
  const coded = {
    cutter: of('cutter'),
    store: of('store'),
    cutterItem: of('cutter', 'item'),
    storeItem: of('store', 'item'),
  };
  const names = (key: keyof PeopleCodes) => {
    const stores = mostCommon(store, coded[key]);
    return coded[key].levels.map((level, g) => {
      const [id, item] = level.split(nul) as [string, string?];
      return { id, store: stores[g] as string, item: item ?? '' };
    });
  };
  const codes = (key: keyof PeopleCodes) => ({
    codes: coded[key].codes,
    levels: coded[key].levels.length,
  });
  const each = <T>(make: (key: keyof PeopleCodes) => T): Record<keyof PeopleCodes, T> => ({
    cutter: make('cutter'),
    store: make('store'),
    cutterItem: make('cutterItem'),
    storeItem: make('storeItem'),
  });
  return { codes: each(codes), names: each(names) };
};

/** The store in which each level has most tests; the first by name among equals. */
const mostCommon = (
  store: readonly string[],
  { codes, levels }: { codes: Int32Array; levels: string[] },
): string[] => {
  const counts = levels.map(() => new Map<string, number>());
  for (const [i, code] of codes.entries()) {
    const own = counts[code] as Map<string, number>;
    own.set(store[i] as string, (own.get(store[i] as string) ?? 0) + 1);
  }
  return counts.map((own) => [...own].sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1))[0]?.[0] ?? '');
};

/** Residuals with the supplier put back and store and cutter taken out, points: what suppliers are compared on. */
const withSupplier = (
  residual: Float64Array,
  k: number,
  {
    groups,
    effects,
  }: { groups: readonly Group[]; effects: readonly { store: Float64Array; cutter: Float64Array }[] },
): Float64Array => {
  const { store, cutter } = effects[k] as { store: Float64Array; cutter: Float64Array };
  const left = residual.map((value, i) => 100 * (value - (store[i] as number) - (cutter[i] as number)));
  for (const { rows, problem, fit } of groups) {
    const own = fit?.fits[k]?.supplier;
    if (own === undefined) continue;
    const blupOf = new Map(own.codes.map((code, place) => [code, own.blup[place] as number]));
    for (const [place, i] of rows.entries())
      left[i] = (left[i] as number) + 100 * (blupOf.get(problem.supplier[place] as number) ?? 0);
  }
  return left;
};

const sourceOf = (
  kind: EffectKind,
  codes: Int32Array,
  names: EffectSource['names'],
  at: {
    facts: Facts;
    expected: Float64Array[];
    groups: readonly Group[];
    prices: { of: (item: string) => ClassPrices };
    effectPoints: number;
    isConverged: boolean;
    estimates: LevelEstimate[][];
  },
): EffectSource => {
  const unsold = unsoldItems(at.facts);
  const item = at.facts.text('item');
  const doubtful = new Set(
    at.groups
      .filter((group) => group.fit?.status === 'not-converged')
      .map((group) => item[group.rows[0] as number]),
  );
  return {
    kind,
    codes,
    names,
    estimates: at.estimates,
    actual: at.facts.actual,
    expected: at.expected,
    isSoldWhole: (name) => (name === '' ? unsold.size === 0 : !unsold.has(name)),
    pricesOf: at.prices.of,
    effectPoints: at.effectPoints,
    status: (name) => (!at.isConverged || doubtful.has(name) ? 'not-converged' : 'ok'),
  };
};

const weights = (groups: readonly Group[], facts: Facts): Pick<ModeledNight, 'weightModels' | 'curves'> => {
  const [item, spec, treatment] = [facts.text('item'), facts.text('spec'), facts.text('treatment')];
  const weightModels = groups.flatMap(({ rows, problem, fit }): WeightModel[] => {
    const first = rows[0] as number;
    return fit === undefined
      ? []
      : [
          weightModel(problem, fit, {
            item: item[first] as string,
            spec: spec[first] as string,
            treatment: treatment[first] as string,
          }),
        ];
  });
  return { weightModels, curves: weightCurves(weightModels) };
};

const supplierItems = (
  { rows, fit }: Group,
  facts: Facts,
  names: readonly string[],
): SupplierItemEffect[] => {
  const first = rows[0] as number;
  const [item, spec, treatment] = ['item', 'spec', 'treatment'].map(
    (name) => facts.text(name)[first] as string,
  ) as [string, string, string];
  return (fit?.fits ?? []).flatMap((own, k) =>
    own === undefined
      ? []
      : own.supplier.codes.map((code, place) => ({
          supplier: names[code] as string,
          item,
          spec,
          treatment,
          outcome: outcomes[k] as Outcome,
          effect: own.supplier.blup[place] as number,
          sd: own.supplier.sd[place] as number,
        })),
  );
};

/** Looks up a test and builds its expected yield term by term. */
const explainer = (
  groups: readonly Group[],
  facts: Facts,
  centersOf: (i: number) => readonly number[],
): ModeledNight['termsOf'] => {
  const placeOf = new Map<string, { group: Group; place: number }>();
  const built = new Map<object, ReturnType<typeof termsOf>>();
  return (store, testId, outcome) => {
    if (placeOf.size === 0) {
      const names = facts.join('store', 'testId');
      for (const group of groups)
        for (const [place, i] of group.rows.entries()) placeOf.set(names[i] as string, { group, place });
    }
    const found = placeOf.get(`${store}${nul}${testId}`);
    const k = outcomes.indexOf(outcome);
    const fit = found?.group.fit?.fits[k];
    if (found === undefined || fit === undefined) return [];
    const scale = outcome === 'value' ? 1 : 100;
    const own = built.get(fit) ?? termsOf(found.group.problem, fit);
    built.set(fit, own);
    const terms: ExpectedTerm[] = [...own].map(([term, values]) => ({
      term,
      size: scale * (values[found.place] as number),
    }));
    const closing =
      (found.group.fit?.closing[k]?.[found.place] ?? 0) +
      (centersOf(found.group.rows[found.place] as number)[k] as number);
    return [...terms, { term: 'closing', size: scale * closing }];
  };
};

const expectedTable = (
  used: ColumnTable,
  night: {
    expected: readonly Float64Array[];
    residual: readonly Float64Array[];
    sd: readonly Float64Array[];
    effects: readonly { store: Float64Array; cutter: Float64Array }[];
    tails: Float64Array;
  },
): ColumnTable => {
  const columns: Record<string, ArrayLike<unknown>> = {
    store: textsOf(used, 'store'),
    testId: textsOf(used, 'testId'),
    composition_tail: night.tails,
  };
  for (const [k, outcome] of outcomes.entries()) {
    columns[`expected_${outcome}`] = night.expected[k] as Float64Array;
    columns[`residual_${outcome}`] = night.residual[k] as Float64Array;
    columns[`sd_${outcome}`] = night.sd[k] as Float64Array;
    columns[`store_${outcome}`] = night.effects[k]?.store as Float64Array;
    columns[`cutter_${outcome}`] = night.effects[k]?.cutter as Float64Array;
  }
  return table(columns as Record<string, unknown[]>);
};
