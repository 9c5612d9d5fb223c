import type { Chain } from '../catalog/chain.ts';
import { type FindingKindName, findingKinds, findingWords, stepOf } from '../faults/findingKinds.ts';
import type { MeasuredTest } from '../measure/measured.ts';
import { noVolume } from '../money/volumeWeeks.ts';
import { chainNumbers, sizeRange } from './chainNumbers.ts';
import type { FindingRow } from './found.ts';
import { findingId } from './habitFinding.ts';

/** What a finding rests on; numbers not known are NaN, texts not known ''. */
export type FindingFacts = Pick<
  FindingRow,
  | 'store'
  | 'region'
  | 'cutter'
  | 'item'
  | 'outcome'
  | 'status'
  | 'since'
  | 'effect'
  | 'low'
  | 'high'
  | 'chance'
  | 'tests'
  | 'comparedWith'
  | 'nothingToCure'
  | 'went'
> & {
  kind: FindingKindName;
  /** `note`: what else is to be said of the money, in words after the amount. */
  money: { perWeek: number; low: number; high: number; isWeekly: boolean; note?: string };
  evidence: readonly MeasuredTest[];
  adjustments: string[];
  /** Size as the headline says it, where it is not the effect in points. */
  size?: string;
  /** What was measured beside it, in words. */
  seen?: string;
  /** What the step depends on, where the kind has more than one. */
  where?: string;
  /** Whom it is about, where it is a supplier. */
  supplier?: string;
};

/** No money is named with a finding. */
export const noMoney = { perWeek: Number.NaN, low: Number.NaN, high: Number.NaN, isWeekly: true };
const mostTests = 12;

/** A finding with its words from the catalog; at most 12 tests of evidence, in the order given. */
export const writtenFinding = (facts: FindingFacts, chain: Chain): FindingRow => {
  const { kind, money, evidence, size, seen = '', where, supplier = '', ...rest } = facts;
  const { points, cash, tests } = chainNumbers(chain);
  const amount = Number.isNaN(money.perWeek)
    ? ''
    : `${cash.format(money.perWeek)} ${money.isWeekly ? 'a week' : `in the tests seen (${noVolume})`} (${cash.format(money.low)} to ${cash.format(money.high)})`;
  return {
    findingId: findingId(kind, rest.store || supplier, rest.cutter, supplier === '' ? rest.item : ''),
    ...rest,
    kind,
    reader: findingKinds[kind].reader,
    moneyPerWeek: money.perWeek,
    moneyLow: money.low,
    moneyHigh: money.high,
    ...findingWords(kind, {
      who: rest.cutter || rest.store || supplier,
      item: rest.item === '' ? 'all items' : rest.item,
      size: size ?? points.format(Math.abs(rest.effect)),
      range:
        size === undefined
          ? sizeRange(rest, points)
          : `95 % interval ${points.format(rest.low)} to ${points.format(rest.high)}`,
      tests: tests(rest.tests),
      against: rest.comparedWith,
      money: [amount, money.note ?? ''].filter((part) => part !== '').join(' '),
      went: '',
      seen,
    }),
    evidence: evidence
      .slice(0, mostTests)
      .map(({ store, testId, sourceFile, sourceLine }) => ({ store, testId, sourceFile, sourceLine })),
    step: stepOf(kind, where),
    ...(money.isWeekly ? {} : { ofTestsSeen: true }),
  };
};

/** A finding that no longer holds, as it was, without money. */
export const resolvedFinding = (finding: FindingRow): FindingRow => {
  const { moneyParts: _, ...rest } = finding;
  return {
    ...rest,
    status: 'resolved',
    headline: `Resolved: ${finding.headline}`,
    moneyPerWeek: Number.NaN,
    moneyLow: Number.NaN,
    moneyHigh: Number.NaN,
  };
};
