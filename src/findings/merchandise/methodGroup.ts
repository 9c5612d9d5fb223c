import type { Chain } from '../../catalog/chain.ts';
import type { MeasuredOutput, MeasuredTest } from '../../measure/measured.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { countedTests } from '../../units/counted.ts';
import type { AdjustedDesign } from './adjustedMeans.ts';

/** Tests of one item and spec cut in more than one way, with all that is held equal when the ways are compared. */
export type MethodGroup = {
  item: string;
  spec: string;
  methods: string[];
  tests: MeasuredTest[];
  linesOf: Map<string, MeasuredOutput[]>;
  design: AdjustedDesign;
  /** Piece weight of each test less the mean, kg. */
  weightOff: number[];
  meanPieceKg: number;
  isLaborKnown: boolean;
  /** What labor lacks to be counted, in words; '' where it is known. */
  laborMissing: string;
  /** Every test that is compared tells its minutes, whether or not the chain has a labor rate. */
  areMinutesKnown: boolean;
  adjustedFor: string[];
  /** What a reader must know of who chose the way of cutting. */
  warning: string;
};

/** A way of cutting that cannot be compared, and what is missing. */
export type MethodUnanswered = { item: string; spec: string; method: string; tests: number; missing: string };

/** Fewest tests of a way of cutting that is compared. */
export const fewestTests = 8;
const fewestCutters = 5;
const fewestStores = 10;

const keyOf = (row: { store: string; testId: string }): string => `${row.store}\u0000${row.testId}`;

/** Groups of tests to compare ways of cutting in, and the ways that cannot be compared. Treated pieces are left out. */
export const methodGroups = (
  used: readonly MeasuredTest[],
  outputs: readonly MeasuredOutput[],
  chain: Chain,
): { groups: MethodGroup[]; unanswered: MethodUnanswered[] } => {
  const linesOf = groupedBy(outputs, keyOf);
  const plain = used.filter((test) => test.treatment === '' || test.treatment === 'plain');
  const byItem = groupedBy(plain, (test) => `${test.item}\u0000${test.spec}`);
  const found: { groups: MethodGroup[]; unanswered: MethodUnanswered[] } = { groups: [], unanswered: [] };
  for (const key of [...byItem.keys()].sort()) {
    const own = byItem.get(key) as MeasuredTest[];
    const [item, spec] = key.split('\u0000') as [string, string];
    if (chain.methods.filter((entry) => entry.item === item).length < 2) continue;
    const methods = [...new Set(own.map((test) => test.method))].sort();
    const answers = methods.map((method) => ({
      method,
      ...comparable(
        own.filter((test) => test.method === method),
        linesOf,
      ),
    }));
    for (const { method, tests, missing } of answers)
      if (missing !== '') found.unanswered.push({ item, spec, method, tests: tests.length, missing });
    const known = answers.filter((answer) => answer.missing === '');
    if (known.length > 1) found.groups.push(groupOf({ item, spec }, known, linesOf));
  }
  return found;
};

/** Tests of one way of cutting whose every saleable line has a regular price. */
const comparable = (
  own: readonly MeasuredTest[],
  linesOf: ReadonlyMap<string, readonly MeasuredOutput[]>,
): { tests: MeasuredTest[]; missing: string } => {
  const unpriced = new Set<string>();
  const tests = own.filter((test) => {
    const without = (linesOf.get(keyOf(test)) ?? []).filter(
      (line) => line.outputKg > 0 && line.outputClass.endsWith('cut') && Number.isNaN(line.regularPricePerKg),
    );
    for (const line of without) unpriced.add(line.output);
    return without.length === 0 && Number.isFinite(test.valuePerKg) && test.billedFilledKg > 0;
  });
  if (tests.length >= fewestTests) return { tests, missing: '' };
  const missing =
    unpriced.size > 0
      ? `no regular price in force for ${[...unpriced].sort().join(', ')}`
      : `${countedTests(tests.length)}; ${fewestTests} are needed`;
  return { tests, missing };
};

const groupOf = (
  name: { item: string; spec: string },
  known: readonly { method: string; tests: MeasuredTest[] }[],
  linesOf: Map<string, MeasuredOutput[]>,
): MethodGroup => {
  const timed = known.map(({ tests }) =>
    tests.filter((test) => test.minutes >= 0 && Number.isFinite(test.laborCost)),
  );
  const isLaborKnown = timed.every((tests) => tests.length >= fewestTests);
  const areTimed = known.every((own) => own.tests.filter((test) => test.minutes >= 0).length >= fewestTests);
  const chosen = known.map(({ tests }, k) => (isLaborKnown ? (timed[k] as MeasuredTest[]) : tests));
  const tests = chosen.flat();
  const group = chosen.flatMap((own, k) => own.map(() => k));
  const meanPieceKg = tests.reduce((sum, test) => sum + test.meanPieceKg, 0) / tests.length;
  const weightOff = tests.map((test) => test.meanPieceKg - meanPieceKg);
  const cutters = codesOf(tests.map((test) => test.cutter));
  const stores = codesOf(tests.map((test) => test.store));
  const isWithin = bothWays(cutters, group) >= fewestCutters;
  const grades = [...new Set(tests.map((test) => test.grade))].sort().slice(1);
  const covariates = [
    ...grades.map((grade) => tests.map((test) => (test.grade === grade ? 1 : 0))),
    weightOff,
    weightOff.map((off) => off ** 2),
  ];
  return {
    ...name,
    methods: known.map(({ method }) => method),
    tests,
    linesOf,
    design: {
      group,
      count: known.length,
      covariates,
      within: isWithin ? cutters : undefined,
      clusters: new Set(stores).size >= fewestStores ? stores : cutters,
    },
    weightOff,
    meanPieceKg,
    isLaborKnown,
    laborMissing: isLaborKnown ? '' : areTimed ? 'labor rate not known' : 'minutes not known',
    areMinutesKnown: tests.every((test) => test.minutes >= 0),
    adjustedFor: ['grade', 'piece weight', ...(isWithin ? ['who cut'] : [])],
    warning: isWithin
      ? 'The cutter chose the way; compared within cutters who cut both ways.'
      : 'The cutter or store chose the way and few cut both ways: the gap mixes the way and the people.',
  };
};

/** How many people cut at least two tests in each of two ways. */
const bothWays = (cutters: readonly number[], group: readonly number[]): number => {
  const seen = groupedBy(
    cutters.map((cutter, i) => ({ cutter, method: group[i] as number })),
    (row) => row.cutter,
  );
  return [...seen.values()].filter((rows) => {
    const counts = groupedBy(rows, (row) => row.method);
    return [...counts.values()].filter((own) => own.length > 1).length > 1;
  }).length;
};

const codesOf = (names: readonly string[]): number[] => {
  const codes = new Map<string, number>();
  return names.map((name) => {
    const code = codes.get(name) ?? codes.size;
    codes.set(name, code);
    return code;
  });
};
