import type { Chain } from '../../catalog/chain.ts';
import type { MeasuredOutput, MeasuredTest } from '../../measure/measured.ts';
import type { StoreRow } from '../../normalize/normalized.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import { countedTests } from '../../units/counted.ts';
import { chainNumbers } from '../chainNumbers.ts';
import type { TimeLevels } from '../change/timeLevels.ts';
import type { FindingRow } from '../found.ts';
import { noMoney, writtenFinding } from '../writtenFinding.ts';
import { leastTold } from './eValues.ts';
import { combinedEvidence, type Evidence, evidenceOf, speaks, spreadOf } from './evidence.ts';
import { type Sheet, sheetsOf } from './sheets.ts';

const fewestTests = 20;
/** Share of those asked that may weigh honestly. */
const mostFalse = 0.01;
/** More round lines than the others' by this share are told; a loss that comes back by chance as seldom as this. */
const leastExcess = 0.05;
const sameLossSeldom = 1e-4;

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
 * Cutters with 20 tests or more whose sheets look written rather than weighed: sheets in round weights, sheets that balance to the
 * last division, repeated shares, and beside these end digits and too little spread, combined into one e-value a cutter under one
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

type Asked = { cutter: string; e: number; sheets: Sheet[]; suspect: Sheet[]; evidence: Evidence };

const asked = ({ outputs, levels, stores }: UnweighedInput, tests: readonly MeasuredTest[]): Asked[] => {
  const all = sheetsOf(tests, outputs);
  const evidence = evidenceOf(all, levels, stores);
  const judged = [...all.cutters.keys()].filter(
    (code) => (all.ofCutter[code] as number[]).length >= fewestTests,
  );
  const combined = combinedEvidence(evidence);
  const least = leastTold(
    judged.map((code) => combined[code] as number),
    mostFalse,
  );
  return judged.flatMap((code): Asked[] => {
    const own = evidence[code] as Evidence;
    const e = combined[code] as number;
    if (e < least) return [];
    const sheetsAt = (places: readonly number[]): Sheet[] =>
      places.map((place) => all.sheets[place] as Sheet);
    return [
      {
        cutter: all.cutters[code] as string,
        e,
        sheets: sheetsAt(all.ofCutter[code] as number[]),
        suspect: sheetsAt(suspects(own)),
        evidence: own,
      },
    ];
  });
};

/** Places of the tests that single evidence rests on, in order of day. */
const suspects = ({ round, balance, repeats }: Evidence): number[] =>
  [
    ...new Set([
      ...repeats.places,
      ...(Math.max(round.fine, round.coarse) > speaks ? round.places : []),
      ...(balance.e > speaks ? balance.places : []),
    ]),
  ].sort((a, b) => a - b);

const row = (
  { cutter, e, sheets, suspect, evidence }: Asked,
  status: FindingRow['status'],
  chain: Chain,
): FindingRow => {
  const last = (sheets[sheets.length - 1] as Sheet).test;
  const shown = suspect.length > 0 ? suspect : sheets;
  const { percent } = chainNumbers(chain);
  const { digits, round, balance, repeats, spread } = evidence;
  const reasons = [
    digits.round - digits.peersRound >= leastExcess
      ? `${percent.format(digits.round)} of the lines are whole multiples of ${digits.divisions} scale divisions (the others there: ${percent.format(digits.peersRound)})`
      : '',
    Math.max(round.fine, round.coarse) > speaks
      ? `all lines of ${countedTests(round.places.length)} are round`
      : '',
    balance.e > speaks
      ? `${percent.format(balance.places.length / sheets.length)} of the tests lose nothing at all (the others: ${percent.format(balance.expected)})`
      : '',
    repeats.e > speaks
      ? `the shares of an earlier test come back in ${repeats.places.length} of ${countedTests(repeats.compared)}`
      : '',
    repeats.loss < sameLossSeldom ? 'the loss is the same again and again' : '',
    spreadOf(spread) > speaks ? 'tests differ less from each other than weighed tests do' : '',
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
      // an e-value's inverse is a p-value
      chance: 1 - Math.min(1, 1 / e),
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
