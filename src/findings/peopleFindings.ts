import type { Chain } from '../catalog/chain.ts';
import type { Outcome } from '../catalog/outcomes.ts';
import type { MeasuredOutput, MeasuredTest } from '../measure/measured.ts';
import type { ModeledNight } from '../model/modeled.ts';
import type { SourceError } from '../money/summedMoney.ts';
import type { ReferenceTables } from '../normalize/normalized.ts';
import { numbersOf } from '../tables/columns.ts';
import { groupedBy } from '../tables/groupedBy.ts';
import { remembered } from '../tables/remembered.ts';
import { aloneOnItem, weightsFirst, withCaveats } from './caveats.ts';
import { changeOverTime } from './change/changeOverTime.ts';
import { driftFinding, type ToldDrift } from './change/driftFindings.ts';
import { type Habit, habitsOf } from './cutterFindings.ts';
import type { RoomApart } from './fewPeople.ts';
import type { CoachingChangeRow, FindingRow, LossRow } from './found.ts';
import { type HabitContext, isWorthTelling } from './habitFinding.ts';
import { aboutStore, loneCutters } from './loneCutters.ts';
import { rememberedFinding } from './memory/rememberedFinding.ts';
import { rememberedHabits } from './memory/rememberedHabits.ts';
import { isOfScale, scaleFirst } from './scaleFirst.ts';
import { unweighedFindings } from './unweighed/unweighedFindings.ts';
import type { weeklyShares } from './weeklyShares.ts';
import { isOffWithRoom, openSplits, roomApart, roomsOf } from './withRoom.ts';

export type PeopleInput = {
  chain: Chain;
  asOfDay: number;
  /** All tests, held ones too, and those used. */
  all: readonly MeasuredTest[];
  used: readonly MeasuredTest[];
  outputs: readonly MeasuredOutput[];
  modeled: ModeledNight;
  reference: Pick<ReferenceTables, 'cutters' | 'coaching' | 'stores'>;
  shares: ReturnType<typeof weeklyShares>;
  seenDayOf: (test: MeasuredTest) => number;
};

/** A loss with whose error it is: a number for each person and room, so that what is published names nobody. */
export type SourcedLoss = LossRow & { errors: readonly SourceError[] };

/** Everything that points at a person or a room: habits, change over time, coaching, sheets that look unweighed. */
export const peopleFindings = (
  input: PeopleInput,
): {
  findings: FindingRow[];
  losses: SourcedLoss[];
  coaching: CoachingChangeRow[];
  /** Rooms and items where someone differs from the others there but not from the chain. */
  roomsApart: RoomApart[];
} => {
  const { chain, asOfDay, used, modeled, shares, seenDayOf } = input;
  const change = changeOverTime({
    chain,
    asOfDay,
    used,
    expected: modeled.expected,
    reference: input.reference,
    seenDayOf,
    cutterShares: shares.cutters,
    adjustedFor: modeled.adjustedFor,
  });
  const about = contextOf(input);
  const roomOf = roomsOf(modeled.effects);
  const scale = scaleFirst(change.levels, change.findings);
  const isLoss = (habit: Habit): boolean =>
    isWorthTelling(habit, about) && !isOfScale(habit, scale, chain.thresholds.effect_points);
  const habits = rememberedHabits({
    effects: modeled.effects,
    people: change.levels.people,
    lasting: change.levels.lasting,
    chain,
    asOfDay,
    changedOn: change.changedOn,
    isWorthTelling: (habit) => isLoss(habit) && isOffWithRoom(habit, roomOf, chain),
    isToldAlone: (habit, night) => !isOfDrift(habit, night, change.drifts),
  }).flatMap((one) => rememberedFinding(one, about));
  const carried = new Set(
    habits.flatMap(({ finding, losses }) =>
      losses.map(({ store, item }) => cellOf(finding.cutter, store, item)),
    ),
  );
  const unsaid = habitsOf(modeled.effects, chain).filter(
    (habit) => isLoss(habit) && !isOffWithRoom(habit, roomOf, chain),
  );
  const drifts = change.drifts.map((drift) =>
    driftFinding(drift, ({ store, item }) => carried.has(cellOf(drift.facts.cutter, store, item)), chain),
  );
  const lone = loneCutters(used);
  const told = habits.map(({ finding }) => (lone.has(finding.cutter) ? aboutStore(finding) : finding));
  const unweighed = unweighedFindings({
    chain,
    asOfDay,
    tests: input.all,
    outputs: input.outputs,
    levels: change.levels,
    stores: input.reference.stores,
    seenDayOf,
  });
  const cautions = [weightsFirst(unweighed), aloneOnItem(used)];
  return {
    findings: [
      ...withCaveats([...told, ...drifts.map(({ finding }) => finding)], cautions),
      ...change.findings,
      ...unweighed,
    ],
    losses: sourced([...habits, ...drifts]),
    coaching: change.coaching,
    roomsApart: [...unsaid.map(roomApart), ...openSplits(modeled.effects, roomOf, chain)].filter(
      ({ store }) => !scale.has(store),
    ),
  };
};

/** What the words and the money of a habit are taken from. */
const contextOf = ({ chain, used, modeled, shares }: PeopleInput): HabitContext => {
  const covers = groupedBy(
    used.filter((test) => test.fatCoverIn >= 0),
    (test) => test.item,
  );
  return {
    ...{ chain, shares, adjustedFor: modeled.adjustedFor },
    testsOf: indexed(used),
    residualOf: residuals(used, modeled),
    coversOf: (item) => covers.get(item) ?? [],
  };
};

const cellOf = (cutter: string, store: string, item: string): string =>
  `${cutter}\u0000${store}\u0000${item}`;

/** A habit on one item that is seen on fewer tests since the cutter's level changed is the change's to tell. */
const fewestSinceChange = 8;

const isOfDrift = ({ on }: Habit, night: number, drifts: readonly ToldDrift[]): boolean =>
  on.kind === 'cutter-item' &&
  on.tests < fewestSinceChange &&
  drifts.some(
    ({ facts, knownDay }) =>
      facts.status !== 'resolved' &&
      knownDay <= night &&
      facts.cutter === on.id &&
      (facts.item === '' || facts.item === on.item),
  );

/** Errors that a finding's losses name no source of are the person's (or room's) own, the same on all items. */
const sourced = (told: readonly { finding: FindingRow; losses: readonly LossRow[] }[]): SourcedLoss[] => {
  const numbers = new Map<string, number>();
  return told.flatMap(({ finding, losses }) => {
    const who = finding.cutter === '' ? { room: finding.store } : finding.cutter;
    const numberOf = (source: SourceError['source']): number => {
      const key = JSON.stringify([who, source === '' ? [] : [finding.kind, source]]);
      const number = numbers.get(key) ?? numbers.size;
      numbers.set(key, number);
      return number;
    };
    return losses.map((loss) => {
      const all = { source: '', below: loss.moneyPerWeek - loss.low, above: loss.high - loss.moneyPerWeek };
      const errors = loss.errors ?? [all];
      return { ...loss, errors: errors.map((error) => ({ ...error, source: numberOf(error.source) })) };
    });
  });
};

/** What a used test differs by from expected; fraction of drained weight. */
const residuals = (used: readonly MeasuredTest[], { expected }: ModeledNight): HabitContext['residualOf'] => {
  const place = new Map(used.map((test, i) => [test, i]));
  const columns = new Map<Outcome, Float64Array>();
  return (test, outcome) => {
    const column = remembered(columns, outcome, () => numbersOf(expected, `residual_${outcome}`));
    return column[place.get(test) ?? -1] ?? 0;
  };
};

/** Tests by cutter x item and store x item, looked up once. */
const indexed = (used: readonly MeasuredTest[]): HabitContext['testsOf'] => {
  const found = new Map<string, MeasuredTest[]>();
  for (const test of used)
    for (const of of ['cutter', 'store'] as const) {
      const key = `${of}\u0000${test[of]}\u0000${test.item}`;
      const own = found.get(key);
      if (own === undefined) found.set(key, [test]);
      else own.push(test);
    }
  return (of, id, item) => found.get(`${of}\u0000${id}\u0000${item}`) ?? [];
};
