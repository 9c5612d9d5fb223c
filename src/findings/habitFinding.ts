import type { Chain } from '../catalog/chain.ts';
import type { Outcome } from '../catalog/outcomes.ts';
import { findingKinds } from '../faults/findingKinds.ts';
import type { MeasuredTest } from '../measure/measured.ts';
import { contentHash } from '../system/contentHash.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import { type Habit, isOfRoom } from './cutterFindings.ts';
import { fatCoverText } from './fatCover.ts';
import type { FindingRow, LossRow } from './found.ts';
import { habitText, wentMost } from './habitText.ts';
import { lossRow, moneyOfOne, weightOf } from './lossRows.ts';
import type { WeeklyShare, weeklyShares } from './weeklyShares.ts';

export type HabitContext = {
  chain: Chain;
  /** Used tests of a cutter or a store on an item. */
  testsOf: (of: 'cutter' | 'store', id: string, item: string) => readonly MeasuredTest[];
  shares: ReturnType<typeof weeklyShares>;
  /** What a test differs by from expected, in the order of the expectations. */
  residualOf: (test: MeasuredTest, outcome: Outcome) => number;
  /** Used tests of an item with a measured fat cover. */
  coversOf: (item: string) => readonly MeasuredTest[];
  adjustedFor: string[];
  /** It is told as over: no money in its words. */
  isOver?: boolean;
};

/** Stable name of a finding: hash of kind, store, cutter and item. */
export const findingId = (kind: string, store: string, cutter: string, item: string): string =>
  contentHash(JSON.stringify([kind, store, cutter, item])).slice(0, 12);

const mostTests = 12;
const losing = new Set<string>([
  'over-trimming',
  'left-elsewhere',
  'missing-product',
  'unweighed-trim',
  'room-habit',
  'loss-high',
]);

/** Whether a habit costs what the chain wants told, or is of a kind that is told without money. */
export const isWorthTelling = (
  habit: Habit,
  { chain, shares }: Pick<HabitContext, 'chain' | 'shares'>,
): boolean =>
  !losing.has(habit.kind) ||
  moneyOfOne(sharesOf(habit, shares).map((share) => lossOf(habit, share, 0))).moneyPerWeek >=
    chain.thresholds.money_per_week;

/** What the cutter, or the whole room, breaks down of the item by store. */
const sharesOf = (habit: Habit, shares: HabitContext['shares']): readonly WeeklyShare[] => {
  const { on } = habit;
  const key = `${on.id}\u0000${on.item}`;
  if (!isOfRoom(habit)) return shares.cutters.get(key) ?? [];
  const room = shares.stores.get(key);
  return room === undefined ? [] : [room];
};

/** A habit as a finding with its evidence and money, and its losses by store. */
export const habitFinding = (
  habit: Habit,
  context: HabitContext,
): { finding: FindingRow; losses: LossRow[] } => {
  const { on, kind } = habit;
  const isRoom = isOfRoom(habit);
  const shares = sharesOf(habit, context.shares);
  const own = context.testsOf(isRoom ? 'store' : 'cutter', on.id, on.item);
  const losses = losing.has(kind)
    ? shares.map((share) => lossOf(habit, share, own.filter((test) => test.store === share.store).length))
    : [];
  const money = moneyOfOne(losses);
  const evidence = mostOff(own, on, context);
  const against = isRoom ? 'the other stores' : 'the other cutters, store and grade taken out';
  const isWeekly = shares.every((share) => !Number.isNaN(share.kgPerWeek));
  const finding: FindingRow = {
    findingId: findingId(kind, isRoom ? on.id : on.store, isRoom ? '' : on.id, on.item),
    kind,
    reader: findingKinds[kind].reader,
    region: shares[0]?.region ?? '',
    store: isRoom ? on.id : on.store,
    cutter: isRoom ? '' : on.id,
    item: on.item,
    outcome: on.outcome,
    status: 'new',
    since: isoFromDay(Math.min(...evidence.map((test) => test.cutDay))),
    effect: on.effect,
    low: on.low,
    high: on.high,
    chance: on.chanceBeyond,
    ...money,
    tests: on.tests,
    comparedWith: against,
    ...habitText(
      habit,
      {
        items: on.item,
        against,
        money: { ...(context.isOver === true ? noMoney : money), isWeekly },
        seen: seenOf(habit, context),
      },
      context.chain,
    ),
    evidence: evidence.map(({ store, testId, sourceFile, sourceLine }) => ({
      store,
      testId,
      sourceFile,
      sourceLine,
    })),
    adjustments: context.adjustedFor,
    moneyParts: losses.map((loss, i) => partOf(loss, shares[i] as WeeklyShare, habit)),
    ...(isWeekly ? {} : { ofTestsSeen: true }),
  };
  return { finding, losses };
};

/** Under-trimming is backed by the fat cover where it was measured. */
const seenOf = ({ kind, on }: Habit, { coversOf, chain }: HabitContext): string =>
  kind === 'under-trimming' ? fatCoverText(on.id, coversOf(on.item), chain.language) : '';

const partOf = (loss: LossRow, share: WeeklyShare, { value }: Habit) => ({
  store: loss.store,
  item: loss.item,
  ...weightOf(share),
  lossPerKg: Math.max(0, -value.effect),
  money: loss.moneyPerWeek,
});

const lossOf = (habit: Habit, share: WeeklyShare, tests: number): LossRow =>
  lossRow(share, { item: habit.on.item, habit: habit.kind, tests, went: wentMost(habit) }, lossPerKg(habit));

/**
 * Value lost per kg with its interval. A room's money is its main cut gone to cheaper classes, or weight that is missing, so its
 * interval is that outcome's, in money, or the nearer side of value's own where that is wider: value has one prior for dear and cheap items, and
 * where that leaves open whether a room is like the many or not its own interval runs to one side although the main cut's
 * does not.
 */
const lossPerKg = (habit: Habit): { value: number; low: number; high: number } => {
  const { on, value } = habit;
  const lost = -value.effect;
  if (!isOfRoom(habit)) return { value: lost, low: -value.high, high: -value.low };
  const nearer = Math.min(value.high - value.effect, value.effect - value.low);
  const side = (bound: number): number =>
    Math.max(nearer, Math.abs((value.effect * (bound - on.effect)) / on.effect));
  return { value: lost, low: lost - side(on.high), high: lost + side(on.low) };
};

const noMoney = { moneyPerWeek: 0, moneyLow: 0, moneyHigh: 0 };

/** The tests farthest to the finding's side, at most 12, earliest first. */
const mostOff = (
  own: readonly MeasuredTest[],
  on: Habit['on'],
  { residualOf }: HabitContext,
): MeasuredTest[] => {
  const off = (test: MeasuredTest): number => Math.sign(on.effect) * residualOf(test, on.outcome);
  const chosen = [...own]
    .sort((a, b) => off(b) - off(a) || (a.testId < b.testId ? -1 : 1))
    .slice(0, mostTests);
  return chosen.sort((a, b) => a.cutDay - b.cutDay || (a.testId < b.testId ? -1 : 1));
};
