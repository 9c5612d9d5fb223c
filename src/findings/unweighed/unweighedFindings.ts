import type { Chain } from '../../catalog/chain.ts';
import type { MeasuredOutput, MeasuredTest } from '../../measure/measured.ts';
import type { StoreRow } from '../../normalize/normalized.ts';
import { benjaminiHochberg } from '../../tables/benjaminiHochberg.ts';
import { cauchyCombination } from '../../tables/cauchyCombination.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import { countedTests } from '../../units/counted.ts';
import { chainNumbers } from '../chainNumbers.ts';
import type { TimeLevels } from '../change/timeLevels.ts';
import type { FindingRow } from '../found.ts';
import { noMoney, writtenFinding } from '../writtenFinding.ts';
import { type DigitEvidence, endDigits } from './endDigits.ts';
import { type BalanceEvidence, perfectBalance } from './perfectBalance.ts';
import { type RepeatEvidence, repeatedShares } from './repeatedShares.ts';
import { scaleSteps } from './scaleSteps.ts';
import { type Sheet, type Sheets, sheetsOf } from './sheets.ts';
import { type SpreadEvidence, smallSpread } from './smallSpread.ts';

const fewestTests = 20;
/**
 * Asked at a false discovery rate of 1 % and never above this p-value, and only where two kinds of evidence speak or one leaves no
 * doubt: its p-value times all cutters and kinds.
 */
const mostFalse = 0.01;
const clear = 5e-4;
const speaks = 0.2;
const overwhelming = 1e-6;

type Evidence = {
  digits: DigitEvidence;
  balance: BalanceEvidence;
  repeats: RepeatEvidence;
  spread: SpreadEvidence;
};

export type UnweighedInput = {
  chain: Chain;
  asOfDay: number;
  tests: readonly MeasuredTest[];
  outputs: readonly MeasuredOutput[];
  levels: TimeLevels;
  stores: readonly StoreRow[];
  /** Day on which a test was first known to the chain; NaN: when it was cut. */
  seenDayOf: (test: MeasuredTest) => number;
};

/**
 * Cutters with 20 tests or more whose sheets look written rather than weighed: end digits, sheets that balance to the
 * last division, repeated shares and losses, too little spread, combined into one p-value a cutter (Cauchy) under one
 * false discovery rate. Worded as a question for the store: a scale out of order, weights
 * rounded by hand or sheets copied at the desk look the same.
 */
export const unweighedFindings = (input: UnweighedInput): FindingRow[] => {
  const found = asked(input, input.tests);
  if (found.length === 0) return [];
  const isOld = (test: MeasuredTest): boolean => !(input.seenDayOf(test) >= input.asOfDay);
  const before = new Set(
    input.tests.every(isOld)
      ? found.map((one) => one.cutter)
      : asked(input, input.tests.filter(isOld)).map((one) => one.cutter),
  );
  return found.map((one) => row(one, before.has(one.cutter) ? 'continuing' : 'new', input.chain));
};

type Asked = { cutter: string; p: number; sheets: Sheet[]; suspect: Sheet[]; evidence: Evidence };

const asked = ({ outputs, levels, stores }: UnweighedInput, tests: readonly MeasuredTest[]): Asked[] => {
  const all = sheetsOf(tests, outputs);
  const evidence = evidenceOf(all, levels, stores);
  const combined = evidence.map((own, cutter) =>
    (all.ofCutter[cutter] as number[]).length < fewestTests ? Number.NaN : cauchyCombination(pValues(own)),
  );
  const adjusted = benjaminiHochberg(combined);
  return all.cutters.flatMap((cutter, code): Asked[] => {
    const own = evidence[code] as Evidence;
    const p = combined[code] as number;
    const isClear = p <= clear && (adjusted[code] as number) <= mostFalse;
    const isAlone = Math.min(...alone(own)) * all.cutters.length * alone(own).length < overwhelming;
    if (!isClear || !(isAlone || kinds(own).filter((kind) => kind < speaks).length >= 2)) return [];
    const sheetsAt = (places: readonly number[]): Sheet[] =>
      places.map((place) => all.sheets[place] as Sheet);
    return [
      {
        cutter,
        p,
        sheets: sheetsAt(all.ofCutter[code] as number[]),
        suspect: sheetsAt(suspects(own)),
        evidence: own,
      },
    ];
  });
};

const evidenceOf = (all: Sheets, levels: TimeLevels, stores: readonly StoreRow[]): Evidence[] => {
  const step = scaleSteps(all, new Map(stores.map((row) => [row.store, row.scaleDivisionKg])));
  const digits = endDigits(all, step);
  const balances = perfectBalance(all, step);
  const repeats = repeatedShares(all);
  const spreads = smallSpread(levels.people, levels.scale);
  const placeOf = new Map(levels.people.cutter.levels.map((name, place) => [name, place]));
  return all.cutters.map((name, code) => ({
    digits: digits[code] as DigitEvidence,
    balance: balances[code] as BalanceEvidence,
    repeats: repeats[code] as RepeatEvidence,
    spread: spreads[placeOf.get(name) ?? -1] ?? { spread: Number.NaN, near: Number.NaN },
  }));
};

/** Places of the tests that single evidence rests on, in order of day. */
const suspects = ({ digits, balance, repeats }: Evidence): number[] =>
  [...new Set([...repeats.places, ...digits.places, ...(balance.p < speaks ? balance.places : [])])].sort(
    (a, b) => a - b,
  );

const pValues = ({ digits, balance, repeats, spread }: Evidence): number[] => [
  digits.p,
  digits.sheets,
  balance.p,
  repeats.shares,
  repeats.loss,
  spread.spread,
  spread.near,
];
/** The kinds of evidence that do not rest on the same figures: digits, balance, repeats, spread. */
const kinds = ({ digits, balance, repeats, spread }: Evidence): number[] => [
  least(digits.p, digits.sheets),
  balance.p,
  repeats.shares,
  least(spread.spread, spread.near),
];
/**
 * The kinds that may speak alone. Lines on a coarser grid than the others' may be a scale of one's own, tests that differ little a
 * steady hand: these need a second witness.
 */
const alone = ({ digits, balance, repeats }: Evidence): number[] =>
  [digits.coarse, balance.p, repeats.shares].filter((p) => !Number.isNaN(p));
const least = (a: number, b: number): number =>
  Number.isNaN(a) ? b : Number.isNaN(b) ? a : Math.min(1, 2 * Math.min(a, b));

const row = (
  { cutter, p, sheets, suspect, evidence }: Asked,
  status: FindingRow['status'],
  chain: Chain,
): FindingRow => {
  const last = (sheets[sheets.length - 1] as Sheet).test;
  const shown = suspect.length > 0 ? suspect : sheets;
  const { percent } = chainNumbers(chain);
  const { digits, balance, repeats, spread } = evidence;
  const reasons = [
    digits.p < speaks
      ? `${percent.format(digits.round)} of the lines are whole multiples of ${digits.divisions} scale divisions (the others there: ${percent.format(digits.peersRound)})`
      : '',
    digits.sheets < speaks ? `all lines of ${countedTests(digits.places.length)} are round` : '',
    balance.p < speaks
      ? `${percent.format(balance.places.length / sheets.length)} of the tests lose nothing at all (the others: ${percent.format(balance.expected)})`
      : '',
    repeats.shares < speaks
      ? `the shares of an earlier test come back in ${repeats.places.length} of ${countedTests(repeats.compared)}`
      : '',
    repeats.loss < speaks ? 'the loss is the same again and again' : '',
    Math.min(spread.spread, spread.near) < speaks
      ? 'tests differ less from each other than weighed tests do'
      : '',
  ].filter((text) => text !== '');
  return writtenFinding(
    {
      kind: 'weights-not-weighed',
      store: last.store,
      region: last.region,
      cutter,
      item: '',
      outcome: 'weights',
      status,
      since: isoFromDay((shown[0] as Sheet).test.cutDay),
      effect: Number.NaN,
      low: Number.NaN,
      high: Number.NaN,
      chance: 1 - p,
      tests: sheets.length,
      comparedWith: 'the other cutters of the store and the chain',
      money: noMoney,
      size: reasons.join('; '),
      evidence: shown.map((sheet) => sheet.test),
      adjustments: ["the store's scale division"],
    },
    chain,
  );
};
