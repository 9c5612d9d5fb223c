import type { Chain } from '../catalog/chain.ts';
import type { MeasuredTest } from '../measure/measured.ts';
import type { EffectRow } from '../model/modeled.ts';
import { normalCdf } from '../tables/normalDistribution.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import { chainNumbers } from './chainNumbers.ts';
import { listWithinFalseShare } from './fairness/bayesianFalseShare.ts';
import type { FindingRow } from './found.ts';
import { noMoney, writtenFinding } from './writtenFinding.ts';

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
    against: 'the other suppliers, same grade and weight',
  },
  'loss-high': { kind: 'store', outcome: 'unaccounted', against: 'the other stores, same items and lines' },
} as const;

/**
 * Suppliers whose pieces yield clearly more or less than others', and stores in which clearly more weight is not accounted
 * for; beyond the chain's threshold at its chance, and at most one in ten of the list false in expectation.
 */
export const groupFindings = (input: GroupInput): FindingRow[] =>
  (['supplier-gap', 'loss-high'] as const).flatMap((kind) => {
    const { chain, effects } = input;
    const beyond = effects.filter(
      (row) =>
        row.kind === looked[kind].kind &&
        row.outcome === looked[kind].outcome &&
        row.id !== '' &&
        row.status === 'ok' &&
        (kind === 'supplier-gap' || row.effect > 0) &&
        Math.abs(row.effect) > chain.thresholds.effect_points &&
        row.chanceBeyond >= chain.thresholds.chance,
    );
    const { isListed } = listWithinFalseShare(
      beyond.map((row) => row.chanceBeyond),
      mostFalse,
    );
    return beyond.filter((_, i) => isListed[i]).map((row) => told(kind, row, input));
  });

const told = (
  kind: keyof typeof looked,
  effect: EffectRow,
  { chain, asOfDay, used, seenDayOf }: GroupInput,
): FindingRow => {
  const isStore = kind === 'loss-high';
  const own = used.filter((test) => (isStore ? test.store : test.supplier) === effect.id);
  const isOld = own.map((test) => seenDayOf(test) < asOfDay);
  // as sure before tonight as the tests known then alone make the same effect
  const share = isOld.filter(Boolean).length / Math.max(1, own.length);
  const gap = Math.abs(effect.effect) - chain.thresholds.effect_points;
  const wasSure = normalCdf((gap * Math.sqrt(share)) / effect.sd) >= chain.thresholds.chance;
  const days = own.map((test) => test.cutDay);
  return writtenFinding(
    {
      kind,
      ...(isStore ? {} : { supplier: effect.id }),
      store: isStore ? effect.id : '',
      region: isStore ? (own[0]?.region ?? '') : '',
      cutter: '',
      item: '',
      outcome: effect.outcome,
      status: wasSure ? 'continuing' : 'new',
      since: isoFromDay(days.reduce((least, day) => Math.min(least, day), asOfDay)),
      effect: effect.effect,
      low: effect.low,
      high: effect.high,
      chance: effect.chanceBeyond,
      tests: effect.tests,
      comparedWith: looked[kind].against,
      money: noMoney,
      size: sizeOf(effect, chain),
      evidence: [...own].sort((a, b) => b.cutDay - a.cutDay || (a.testId < b.testId ? -1 : 1)),
      adjustments: isStore
        ? ['item', 'cutters']
        : ['method', 'grade', 'weight of the piece', 'month', 'store', 'cutter'],
    },
    chain,
  );
};

const sizeOf = ({ effect, outcome }: EffectRow, chain: Chain): string => {
  const { points: number } = chainNumbers(chain);
  const points = number.format(Math.abs(effect));
  return outcome === 'unaccounted'
    ? `${points} points more unaccounted than expected`
    : `saleable ${points} points ${effect < 0 ? 'below' : 'above'} expected`;
};
