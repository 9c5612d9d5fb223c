import type { Chain, PortionSpec } from '../../catalog/chain.ts';
import type { MeasuredTest } from '../../measure/measured.ts';
import type { NormalizedPortion } from '../../normalize/normalized.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import { chainNumbers } from '../chainNumbers.ts';
import { listWithinFalseShare } from '../fairness/bayesianFalseShare.ts';
import type { FindingRow } from '../found.ts';
import { clearedBelow } from '../memory/toldUntil.ts';
import { portionSpec } from '../merchandise/portionRows.ts';
import { noMoney, writtenFinding } from '../writtenFinding.ts';
import { measures, type PortionMeasure } from './portionMeasures.ts';
import { type OutOfSpec, outOfSpec, shareOut, togetherness, type WeighedPieces } from './portionShares.ts';

export type PortionDriftInput = {
  chain: Chain;
  asOfDay: number;
  portions: readonly NormalizedPortion[];
  used: readonly MeasuredTest[];
  /** Day on which a test was first known to the chain. */
  seenDayOf: (test: MeasuredTest) => number;
};

/** The pieces of one output of one test against its spec; `off`: what they miss it by together, in the unit of the measure. */
type Weighed = WeighedPieces & { test: MeasuredTest; off: number };
type Sliced = {
  item: string;
  spec: string;
  output: string;
  target: PortionSpec;
  measure: PortionMeasure;
  byCutter: Weighed[][];
};

const fewestPieces = 20;
const fewestTests = 3;
/** The last tests of a cutter that are judged: what was mended earlier is not held up. */
const lastTests = 12;
const mostFalse = 0.1;
/** Rounding of a sheet does not put a piece out of tolerance. */
const slack = 1e-9;

/**
 * Cutters whose portions lie out of the spec of the chain file in weight or thickness: at least one piece in five and clearly more than the other
 * cutters' of the same output. One finding a cutter and item, on the output and measure that show it best. Remembered like a habit:
 * raised at the chain's chance, held until 0.7, known before tonight or new.
 */
export const portionDrift = (input: PortionDriftInput): FindingRow[] => {
  const found = new Map<string, Told>();
  for (const sliced of slicedOutputs(input))
    for (const own of toldOf(sliced, input)) {
      const last = (own.tests[own.tests.length - 1] as Weighed).test;
      const key = `${last.cutter}\u0000${last.item}`;
      const known = found.get(key);
      if (known === undefined || own.now.chance > known.now.chance) found.set(key, own);
    }
  const all = [...found.keys()].sort().map((key) => found.get(key) as Told);
  const { isListed } = listWithinFalseShare(
    all.map(({ now }) => now.chance),
    mostFalse,
  );
  return all.filter((_, i) => isListed[i]).map((told) => row(told, input));
};

/** Weighed pieces by output with a spec and by what it asks for, of each cutter in order of day. */
const slicedOutputs = (input: PortionDriftInput): Sliced[] =>
  measures.flatMap((measure) => slicedBy(measure, input));

const slicedBy = (measure: PortionMeasure, { chain, portions, used }: PortionDriftInput): Sliced[] => {
  const testOf = new Map(used.map((test) => [`${test.store}\u0000${test.testId}`, test]));
  const outputs = new Map<string, Omit<Sliced, 'byCutter'> & { tests: Map<MeasuredTest, Weighed> }>();
  for (const portion of portions) {
    const test = testOf.get(`${portion.store}\u0000${portion.testId}`);
    if (test === undefined || !(measure.of(portion, chain) > 0)) continue;
    const { item, spec } = test;
    const key = [item, spec, portion.output].join('\u0000');
    const target = outputs.get(key)?.target ?? portionSpec(chain, { item, spec, output: portion.output });
    if (target === undefined || !(measure.aim(target) > 0)) continue;
    const own = outputs.get(key) ?? { item, spec, output: portion.output, target, measure, tests: new Map() };
    outputs.set(key, own);
    own.tests.set(
      test,
      weighed(own.tests.get(test), {
        test,
        off: measure.of(portion, chain) - measure.aim(target),
        plusMinus: measure.plusMinus(target, chain),
      }),
    );
  }
  return [...outputs.keys()].sort().map((key) => {
    const { tests, ...about } = outputs.get(key) as ReturnType<typeof outputs.get> & object;
    const cutters = groupedBy<Weighed, string>(tests.values(), (one) => one.test.cutter);
    const byCutter = [...cutters.keys()]
      .sort()
      .map((cutter) => (cutters.get(cutter) as Weighed[]).sort((a, b) => a.test.cutDay - b.test.cutDay));
    return { ...about, byCutter };
  });
};

const weighed = (
  before: Weighed | undefined,
  { test, off: pieceOff, plusMinus }: { test: MeasuredTest; off: number; plusMinus: number },
): Weighed => {
  const { pieces = 0, heavy = 0, light = 0, off = 0 } = before ?? {};
  return {
    test,
    pieces: pieces + 1,
    heavy: heavy + (pieceOff > plusMinus + slack ? 1 : 0),
    light: light + (pieceOff < -plusMinus - slack ? 1 : 0),
    off: off + pieceOff,
  };
};

type Told = {
  sliced: Sliced;
  tests: Weighed[];
  others: number;
  now: OutOfSpec;
  status: FindingRow['status'];
  sinceDay: number;
};

const toldOf = (sliced: Sliced, { chain, asOfDay, seenDayOf }: PortionDriftInput): Told[] => {
  const times = togetherness(sliced.byCutter);
  return sliced.byCutter.flatMap((tests): Told[] => {
    const others = shareOut(sliced.byCutter.flatMap((own) => (own === tests ? [] : own)));
    const follow = (own: readonly Weighed[]) =>
      followed(own, { others, times, raisedFrom: chain.thresholds.chance });
    const now = follow(tests);
    if (now === undefined) return [];
    const before = follow(tests.filter(({ test }) => seenDayOf(test) < asOfDay));
    return [
      {
        sliced,
        tests: tests.slice(-lastTests),
        others,
        now: now.last,
        status: before === undefined ? 'new' : 'continuing',
        sinceDay: now.sinceDay,
      },
    ];
  });
};

/** Test by test: raised, held, cleared; undefined when nothing is told after the last one. */
const followed = (
  tests: readonly Weighed[],
  about: { others: number; times: number; raisedFrom: number },
): { last: OutOfSpec; sinceDay: number } | undefined => {
  let told: { last: OutOfSpec; sinceDay: number } | undefined;
  for (let count = fewestTests; count <= tests.length; count++) {
    const own = tests.slice(Math.max(0, count - lastTests), count);
    if (own.reduce((sum, test) => sum + test.pieces, 0) < fewestPieces) continue;
    const last = outOfSpec(own, about);
    const isTold = last.chance >= (told === undefined ? about.raisedFrom : clearedBelow);
    const day = (own[own.length - 1] as Weighed).test.cutDay;
    told = isTold ? { last, sinceDay: told?.sinceDay ?? day } : undefined;
  }
  return told;
};

const row = (
  { sliced, tests, others, now, status, sinceDay }: Told,
  { chain }: PortionDriftInput,
): FindingRow => {
  const last = (tests[tests.length - 1] as Weighed).test;
  const against = Number.isNaN(others) ? 0 : others;
  const worst = [...tests]
    .sort((a, b) => shareOut([b]) - shareOut([a]) || (a.test.testId < b.test.testId ? -1 : 1))
    .map(({ test }) => test);
  return writtenFinding(
    {
      kind: 'portion-drift',
      store: last.store,
      region: last.region,
      cutter: last.cutter,
      item: last.item,
      outcome: 'portions',
      status,
      since: isoFromDay(sinceDay),
      effect: 100 * (now.mean - against),
      low: 100 * (now.low - against),
      high: 100 * (now.high - against),
      chance: now.chance,
      tests: tests.length,
      comparedWith: `the ${sliced.measure.name} asked for and the other cutters’ portions`,
      money: noMoney,
      size: sizeOf(sliced, tests, { others, chain }),
      evidence: worst,
      adjustments: ['pieces of one test vary together'],
    },
    chain,
  );
};

/** What the headline says: how many are out of tolerance on which side, mean against target, and the others. */
const sizeOf = (
  { output, target, measure }: Sliced,
  tests: readonly Weighed[],
  { others, chain }: { others: number; chain: Chain },
): string => {
  const { percent, whole } = chainNumbers(chain);
  const sum = (of: (test: Weighed) => number): number => tests.reduce((total, test) => total + of(test), 0);
  const pieces = sum((test) => test.pieces);
  const mean = sum((test) => test.off) / pieces + measure.aim(target);
  const rest = Number.isNaN(others) ? '' : `; the other cutters miss on ${percent.format(others)}`;
  const [most, least] = [
    { side: measure.over, count: sum((test) => test.heavy) },
    { side: measure.under, count: sum((test) => test.light) },
  ].sort((a, b) => b.count - a.count) as [Side, Side];
  const out = ({ count, side }: Side, of = ''): string =>
    count === 0
      ? `none ${side}`
      : `${whole.format(count)}${of} (${percent.format(count / pieces)})${of === '' ? '' : ' were'} ${side}`;
  const write = (value: number): string => measure.write(value, chain);
  return `${out(most, ` of ${whole.format(pieces)} pieces of ${output}`)} and ${out(least)}, ${write(mean)} on average where ${write(measure.aim(target))} is asked for${rest}`;
};
type Side = { side: string; count: number };
