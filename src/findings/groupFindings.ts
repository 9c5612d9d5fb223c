import type { Chain } from '../catalog/chain.ts';
import type { MeasuredTest } from '../measure/measured.ts';
import type { EffectRow } from '../model/modeled.ts';
import { normalCdf } from '../tables/normalDistribution.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import { chainNumbers } from './chainNumbers.ts';
import { listWithinFalseShare } from './fairness/bayesianFalseShare.ts';
import type { FindingRow } from './found.ts';
import { type FindingFacts, noMoney, writtenFinding } from './writtenFinding.ts';

export type GroupInput = {
  chain: Chain;
  asOfDay: number;
  used: readonly MeasuredTest[];
  effects: readonly EffectRow[];
  /** Day on which a test was first known to the chain. */
  seenDayOf: (test: MeasuredTest) => number;
};

const mostFalse = 0.1;
const looked = {
  'supplier-gap': {
    kind: 'supplier',
    outcome: 'saleable',
    against: 'the mean of the other suppliers, same grade and weight',
  },
  'loss-high': { kind: 'store', outcome: 'unaccounted', against: 'the other stores, same items and lines' },
} as const;

/**
 * Suppliers whose pieces yield clearly more or less than others', and stores in which clearly more weight is not accounted
 * for on all items together; beyond the chain's threshold at its chance, and at most one in ten of the list false in
 * expectation. Not of stores in `lossTold`, of which it is told by item, with its money, or which are asked about their scale first.
 */
export const groupFindings = (input: GroupInput, lossTold: ReadonlySet<string>): FindingRow[] =>
  (['supplier-gap', 'loss-high'] as const).flatMap((kind) => {
    const { chain, effects } = input;
    const beyond = effects.filter(
      (row) =>
        row.kind === looked[kind].kind &&
        row.outcome === looked[kind].outcome &&
        row.id !== '' &&
        row.status === 'ok' &&
        (kind === 'supplier-gap' || (row.effect > 0 && !lossTold.has(row.id))) &&
        Math.abs(row.effect) > chain.thresholds.effect_points &&
        row.chanceBeyond >= chain.thresholds.chance,
    );
    const { isListed } = listWithinFalseShare(
      beyond.map((row) => row.chanceBeyond),
      mostFalse,
    );
    return beyond.filter((_, i) => isListed[i]).map((row) => told(kind, row, input));
  });

const told = (kind: keyof typeof looked, effect: EffectRow, input: GroupInput): FindingRow => {
  const { chain, used } = input;
  const isStore = kind === 'loss-high';
  const own = used.filter((test) => (isStore ? test.store : test.supplier) === effect.id);
  const gap = Math.abs(effect.effect) - chain.thresholds.effect_points;
  return writtenFinding(
    {
      ...effectFacts(effect, own, input),
      kind,
      ...(isStore ? {} : { supplier: effect.id, store: '', region: '' }),
      status: wasSure((share) => normalCdf((gap * Math.sqrt(share)) / effect.sd), own, input)
        ? 'continuing'
        : 'new',
      chance: effect.chanceBeyond,
      comparedWith: looked[kind].against,
      ...(isStore
        ? {}
        : {
            size: sizeOf(effect, chain),
            adjustments: ['method', 'grade', 'weight of the piece', 'month', 'store', 'cutter'],
          }),
    },
    chain,
  );
};

/** Whether it was as sure before tonight; the share of the tests known then makes the same effect with the chance given. */
export const wasSure = (
  chanceAt: (share: number) => number,
  own: readonly MeasuredTest[],
  { chain, asOfDay, seenDayOf }: GroupInput,
): boolean => {
  const old = own.filter((test) => seenDayOf(test) < asOfDay).length;
  return chanceAt(old / Math.max(1, own.length)) >= chain.thresholds.chance;
};

/** What a finding says of a store's effect and of its tests (`own`), whatever its kind. */
export const effectFacts = (
  effect: EffectRow,
  own: readonly MeasuredTest[],
  { asOfDay }: GroupInput,
): Omit<FindingFacts, 'kind' | 'status' | 'chance' | 'comparedWith' | 'size'> => ({
  store: effect.id,
  region: own[0]?.region ?? '',
  cutter: '',
  item: '',
  outcome: effect.outcome,
  since: isoFromDay(own.reduce((least, test) => Math.min(least, test.cutDay), asOfDay)),
  effect: effect.effect,
  low: effect.low,
  high: effect.high,
  tests: effect.tests,
  money: noMoney,
  evidence: [...own].sort((a, b) => b.cutDay - a.cutDay || (a.testId < b.testId ? -1 : 1)),
  adjustments: ['item', 'cutters'],
});

const sizeOf = ({ effect }: EffectRow, chain: Chain): string =>
  `saleable ${chainNumbers(chain).points.format(Math.abs(effect))} points ${effect < 0 ? 'lower' : 'higher'}`;
