import type { Chain } from '../catalog/chain.ts';
import type { FindingKindName } from '../faults/findingKinds.ts';
import type { MeasuredOutput, MeasuredTest } from '../measure/measured.ts';
import type { StandardRow } from '../normalize/normalized.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import { kilogramsPer } from '../units/weight.ts';
import { chainNumbers } from './chainNumbers.ts';
import type { FindingRow } from './found.ts';
import type { MethodRow, StandardChangeRow } from './merchandise/decisionRows.ts';
import { methodGroups } from './merchandise/methodGroup.ts';
import { methodRows } from './merchandise/methodRows.ts';
import { standardRows } from './merchandise/standardRows.ts';
import { noMoney, writtenFinding } from './writtenFinding.ts';

/** What ways of cutting and book yields say, on all tests and on those known before tonight. */
export type Decisions = { methods: readonly MethodRow[]; standards: readonly StandardChangeRow[] };

export type DecisionInput = {
  chain: Chain;
  asOfDay: number;
  used: readonly MeasuredTest[];
  outputs: readonly MeasuredOutput[];
  standards: readonly StandardRow[];
  /** Whether a test was known to the chain before tonight. */
  isKnown: (test: MeasuredTest) => boolean;
};

/**
 * Ways of cutting that do not pay against another, rare ones that would pay, and book yields to change: one finding an item, on the
 * pair with the widest gap and its main cut, or the output with the widest gap; new where the tests known before tonight did not say so.
 */
export const decisionFindings = (now: Decisions, input: DecisionInput): FindingRow[] => {
  const known = new Set(gapsOf(decisionsBefore(now, input), input.chain).map(keyOf));
  return gapsOf(now, input.chain).map((gap) =>
    writtenFinding(
      {
        ...blank,
        ...shared(gap, input.chain),
        status: known.has(keyOf(gap)) ? 'continuing' : 'new',
        ...testsBehind(input.used, gap.row),
      },
      input.chain,
    ),
  );
};

/** What the tests known before tonight said, at tonight's prices and standards. */
const decisionsBefore = (
  now: Decisions,
  { chain, asOfDay, used, outputs, standards, isKnown }: DecisionInput,
): Decisions => {
  const known = used.filter(isKnown);
  if (known.length === used.length) return now;
  if (known.length === 0) return { methods: [], standards: [] };
  const volumeOf = (): number => Number.NaN;
  return {
    methods: methodGroups(known, outputs, chain).groups.flatMap((group) =>
      methodRows(group, { chain, volumeOf }),
    ),
    standards: standardRows(outputs, known, standards, { chain, asOfDay }).changes,
  };
};

/** The tests of the item cut this way, the last first, and the day of the first. */
const testsBehind = (
  used: readonly MeasuredTest[],
  { item, method }: { item: string; method: string },
): { since: string; evidence: MeasuredTest[] } => {
  const evidence = used
    .filter((test) => test.item === item && test.method === method)
    .sort((a, b) => b.cutDay - a.cutDay || (nameOf(a) < nameOf(b) ? -1 : 1));
  return { since: isoFromDay(evidence.at(-1)?.cutDay ?? Number.NaN), evidence };
};

const nameOf = ({ store, testId }: MeasuredTest): string => `${store}\u0000${testId}`;

type Gap =
  | { kind: 'method-pays' | 'method-does-not-pay'; row: MethodRow }
  | { kind: 'standard-to-change'; row: StandardChangeRow };

const blank = { store: '', region: '', cutter: '', money: noMoney, chance: 0.975 };

const keyOf = ({ kind, row }: Gap): string => `${kind}\u0000${row.item}`;

const gapsOf = ({ methods, standards }: Decisions, chain: Chain): Gap[] => {
  const found = new Map<string, Gap>();
  const widest = (gap: Gap, width: (gap: Gap) => number): void => {
    const known = found.get(keyOf(gap));
    if (known === undefined || width(gap) > width(known)) found.set(keyOf(gap), gap);
  };
  for (const row of mainCutsFirst(methods, chain)) {
    const other = methods.find(
      (one) =>
        one.item === row.item &&
        one.spec === row.spec &&
        one.method === row.otherMethod &&
        one.otherMethod === row.method,
    );
    // one of the two rows of a pair is told: the better way where it is rare, else the one that does not pay
    const share = row.tests / (row.tests + (other?.tests ?? 0));
    if (row.low > 0 && share < rare) widest({ kind: 'method-pays', row }, methodWidth);
    if (row.high < 0 && share <= 1 - rare) widest({ kind: 'method-does-not-pay', row }, methodWidth);
  }
  for (const row of standards) widest({ kind: 'standard-to-change', row }, standardWidth);
  return [...found.keys()].sort().map((key) => found.get(key) as Gap);
};

/** A pair stands once an output, with the same gap: the price of its main cut is the one to look at. */
const mainCutsFirst = (rows: readonly MethodRow[], { methods }: Chain): MethodRow[] => {
  const place = ({ item, method, output }: MethodRow): number => {
    const main = methods.find((one) => one.item === item && one.method === method)?.main.indexOf(output);
    return main === undefined || main < 0 ? Number.POSITIVE_INFINITY : main;
  };
  // Infinity - Infinity is no order
  const after = (a: number, b: number): number => (a === b ? 0 : a - b);
  return [...rows].sort((a, b) => after(place(a), place(b)));
};

/** A way of fewer than a third of the tests of two ways is rare. */
const rare = 1 / 3;

const methodWidth = (gap: Gap): number =>
  gap.kind === 'standard-to-change' ? 0 : Math.abs(gap.row.gapPerBilledKg);
const standardWidth = (gap: Gap): number =>
  gap.kind === 'standard-to-change' ? Math.abs(gap.row.measured - gap.row.book) : 0;

type Shared = {
  kind: FindingKindName;
  item: string;
  outcome: string;
  effect: number;
  low: number;
  high: number;
  tests: number;
  comparedWith: string;
  size: string;
  adjustments: string[];
};

const shared = (gap: Gap, chain: Chain): Shared =>
  gap.kind === 'standard-to-change' ? ofStandard(gap.row, chain) : ofMethod(gap.kind, gap.row, chain);

/** Effect: the gap in points of what the other way's cuts sell for. */
const ofMethod = (kind: 'method-pays' | 'method-does-not-pay', row: MethodRow, chain: Chain): Shared => {
  const { cash } = chainNumbers(chain);
  const unitKg = kilogramsPer(chain.unit);
  const points = 100 / (row.valuePerBilledKg - row.gapPerBilledKg);
  const [low, high] = row.low > 0 ? [row.low, row.high] : [-row.high, -row.low];
  const per = (perKg: number): string => cash.format(perKg * unitKg);
  const labor = row.isLaborKnown ? 'after labor' : 'before labor, which is not known';
  const even = row.isLaborKnown ? row.breakEvenWithLaborPerKg : row.breakEvenPerKg;
  return {
    kind,
    item: row.item,
    outcome: 'margin',
    effect: points * row.gapPerBilledKg,
    low: points * row.low,
    high: points * row.high,
    tests: row.tests,
    comparedWith: `"${row.otherMethod}"`,
    size: `"${row.method}" earns ${per(Math.abs(row.gapPerBilledKg))} ${row.low > 0 ? 'more' : 'less'} per billed ${chain.unit} ${labor} (${per(low)} to ${per(high)}); ${row.output} breaks even at ${per(even)}, now ${per(row.pricePerKg)}`,
    adjustments: row.adjustedFor === '' ? [] : row.adjustedFor.split(', '),
  };
};

const ofStandard = (row: StandardChangeRow, chain: Chain): Shared => {
  const { points: number } = chainNumbers(chain);
  const percent = (share: number): string => `${number.format(100 * share)} %`;
  return {
    kind: 'standard-to-change',
    item: row.item,
    outcome: row.output,
    effect: 100 * (row.measured - row.book),
    low: 100 * (row.low - row.book),
    high: 100 * (row.high - row.book),
    tests: row.tests,
    comparedWith: 'the book',
    size: `${row.output} by "${row.method}" measured at ${percent(row.measured)} of drained weight, the book says ${percent(row.book)}`,
    adjustments: [],
  };
};
