import { table } from 'arquero';
import { probit } from 'simple-statistics';
import type { Chain } from '../../src/catalog/chain.ts';
import { outcomes } from '../../src/catalog/outcomes.ts';
import { measure } from '../../src/measure/measure.ts';
import type { MeasuredNight } from '../../src/measure/measured.ts';
import type { ModeledNight } from '../../src/model/modeled.ts';
import type { NormalizedNight, NormalizedOutput, NormalizedTest } from '../../src/normalize/normalized.ts';
import { screen } from '../../src/screen/screen.ts';
import type { ScreenedNight } from '../../src/screen/screened.ts';
import { rowsOf, tableFromRows } from '../../src/tables/rows.ts';
import { kgPerLb } from '../../src/units/weight.ts';

/** One sheet in lb: what came in (weighed drained) and what was weighed out. */
export type PlainSheet = {
  testId: string;
  cutter: string;
  day: number;
  received: number;
  lines: Record<string, number>;
};

/** Shares that every honest sheet of this invented item has in the mean. */
export const usualShares: Record<string, number> = {
  steak: 0.7,
  cap: 0.06,
  'lean trim': 0.12,
  fat: 0.1,
  waste: 0.008,
};

export const tinyChain = {
  name: 'Tiny',
  currency: 'USD',
  unit: 'lb',
  items: [{ item: 'roll', imps: '', name: 'Roll', aliases: [], spec: '', weight_classes: [], portions: [] }],
  outputs: [
    { output: 'steak', aliases: [], class: 'main cut', lean_point: Number.NaN },
    { output: 'cap', aliases: [], class: 'other cut', lean_point: Number.NaN },
    { output: 'lean trim', aliases: [], class: 'lean trim', lean_point: 80 },
    { output: 'fat', aliases: [], class: 'fat', lean_point: Number.NaN },
    { output: 'waste', aliases: [], class: 'waste', lean_point: Number.NaN },
  ],
  methods: [
    {
      method: 'plain',
      item: 'roll',
      aliases: [],
      main: ['steak'],
      outputs: Object.keys(usualShares),
      demand_per_week: 0,
    },
  ],
  tolerances: { unaccounted_warn: 1.5, unaccounted_error: 3, scale_division: 0.01 },
  lean_trim_floor: 50,
  labor_per_hour: 24,
} as unknown as Chain;

/** Uniforms in (0, 1) from a seed (linear congruential, Numerical Recipes constants, from memory). */
const uniforms = (seed: number): (() => number) => {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state + 0.5) / 4294967296;
  };
};

const round = (lb: number): number => Math.round(lb * 100) / 100;

/** Honest sheets: pieces of 11-15 lb by 20 cutters, main cut against fat and trim with an SD of 1.5 points. */
export const honestSheets = (count: number, seed = 7): PlainSheet[] => {
  const uniform = uniforms(seed);
  const normal = (): number => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
  return Array.from({ length: count }, (_, i) => {
    const received = round(11 + 4 * uniform());
    const [skill, split, loss] = [0.015 * normal(), 0.008 * normal(), 0.0025 * normal()];
    const shares: Record<string, number> = {
      steak: 0.7 + skill,
      cap: 0.06 + 0.002 * normal(),
      'lean trim': 0.12 + split,
      fat: 0.1 - skill - split + loss,
      waste: 0.008 + 0.001 * normal(),
    };
    return {
      testId: `t${String(i).padStart(4, '0')}`,
      cutter: `c${i % 20}`,
      day: 20000 + i,
      received,
      lines: Object.fromEntries(
        Object.entries(shares).map(([name, share]) => [name, round(share * received)]),
      ),
    };
  });
};

const testNames = [
  'store',
  'testId',
  'cutter',
  'cutDay',
  'item',
  'spec',
  'treatment',
  'grade',
  'supplier',
  'billedKg',
  'receivedKg',
  'weighed',
  'purgeKg',
  'addedKg',
  'piecesIn',
  'unit',
  'unitCostPerKg',
  'method',
  'minutes',
] as const;
const outputNames = [
  'store',
  'testId',
  'output',
  'outputClass',
  'outputKg',
  'weightAsSent',
  'pieces',
  'sourceLine',
] as const;

/** The sheets as intake and normalize hand them on; `change` overrides fields of a test. */
export const normalizedSheets = (
  sheets: readonly PlainSheet[],
  change: (row: Record<string, unknown>) => object = () => ({}),
): NormalizedNight => {
  const tests = sheets.map(
    (sheet) =>
      ({
        store: 's1',
        testId: sheet.testId,
        cutter: sheet.cutter,
        cutDay: sheet.day,
        item: 'roll',
        spec: '',
        treatment: '',
        grade: 'Choice',
        supplier: '',
        billedKg: Number.NaN,
        receivedKg: sheet.received * kgPerLb,
        weighed: 'drained',
        purgeKg: Number.NaN,
        addedKg: Number.NaN,
        piecesIn: 1,
        unit: 'lb',
        unitCostPerKg: 10 / kgPerLb,
        method: 'plain',
        minutes: Number.NaN,
      }) as unknown as NormalizedTest,
  );
  const outputs = sheets.flatMap((sheet) =>
    Object.entries(sheet.lines).map(
      ([output, lb]): NormalizedOutput => ({
        store: 's1',
        testId: sheet.testId,
        output,
        outputClass: '',
        outputKg: lb * kgPerLb,
        weightAsSent: lb,
        pieces: Number.NaN,
        sourceLine: 1,
      }),
    ),
  );
  return {
    tests: tableFromRows(
      tests.map((row) => ({ ...row, ...change(row) })),
      testNames,
    ),
    outputs: tableFromRows(outputs, outputNames),
    portions: tableFromRows([], []),
    reference: { prices: [], quotes: [], stores: [], volumes: [], cutters: [], standards: [], coaching: [] },
  };
};

const expectedOf: Record<string, number> = {
  saleable: 0.88,
  main_cut: 0.7,
  other_cut: 0.06,
  lean_trim: 0.12,
  fat: 0.1,
  waste: 0.008,
};

/** The same sheets with pieces bought in a wide range: normal about 13 lb, SD 2.2 lb (even steps of its distribution). */
export const wideSheets = (sheets: readonly PlainSheet[]): PlainSheet[] =>
  sheets.map((sheet, i) => {
    const place = (i * 7919) % sheets.length;
    return weighing(sheet, round(13 + 2.2 * probit((place + 0.5) / sheets.length)));
  });

/** The same shares of a piece that weighs otherwise, lb. */
export const weighing = (sheet: PlainSheet, received: number): PlainSheet => ({
  ...sheet,
  received,
  lines: Object.fromEntries(
    Object.entries(sheet.lines).map(([name, lb]) => [name, round((lb / sheet.received) * received)]),
  ),
});

/** Screened and measured sheets, with a model that expects the usual shares of every used test; `change` as above. */
export const nightOfSheets = (
  sheets: readonly PlainSheet[],
  change?: (row: Record<string, unknown>) => object,
): { screened: ScreenedNight; measured: MeasuredNight; modeled: ModeledNight } => {
  const night = normalizedSheets(sheets, change);
  const screened = screen(night, tinyChain);
  const measured = measure(screened, night.reference, tinyChain, 30000);
  const used = rowsOf<{ store: string; testId: string; state: string }>(measured.tests).filter(
    (test) => test.state === 'used',
  );
  const column = (value: number): Float64Array => new Float64Array(used.length).fill(value);
  const columns: Record<string, unknown> = {
    store: used.map((test) => test.store),
    testId: used.map((test) => test.testId),
  };
  columns['composition_tail'] = column(0.5);
  for (const outcome of outcomes) {
    columns[`expected_${outcome}`] = column(expectedOf[outcome] ?? 0);
    columns[`residual_${outcome}`] = column(0);
    columns[`sd_${outcome}`] = column(0.015);
    columns[`store_${outcome}`] = column(0);
    columns[`cutter_${outcome}`] = column(0);
  }
  return {
    screened,
    measured,
    modeled: { expected: table(columns as Record<string, unknown[]>) } as unknown as ModeledNight,
  };
};
