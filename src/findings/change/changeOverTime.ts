import type { ColumnTable } from 'arquero';
import type { Chain } from '../../catalog/chain.ts';
import type { MeasuredTest } from '../../measure/measured.ts';
import type { ReferenceTables } from '../../normalize/normalized.ts';
import type { CoachingChangeRow, FindingRow } from '../found.ts';
import type { LevelStart } from '../memory/histories.ts';
import type { WeeklyShare } from '../weeklyShares.ts';
import { type CoachingEffect, coachingEffects } from './coachingEffects.ts';
import { coachingFindings, coachingRows } from './coachingFindings.ts';
import { confirmedChanges, storeChangeFindings, type ToldDrift, toldDrifts } from './driftFindings.ts';
import { learnedOn } from './learningCurve.ts';
import type { LevelChange } from './levelChanges.ts';
import { peopleTests } from './peopleTests.ts';
import { type TimeLevels, timeLevels } from './timeLevels.ts';

export type ChangeInput = {
  chain: Chain;
  asOfDay: number;
  used: readonly MeasuredTest[];
  /** The model's table of the used tests. */
  expected: ColumnTable;
  reference: Pick<ReferenceTables, 'cutters' | 'coaching'>;
  /** Day on which a test was first known to the chain; NaN: when it was cut. */
  seenDayOf: (test: MeasuredTest) => number;
  cutterShares: ReadonlyMap<string, readonly WeeklyShare[]>;
  adjustedFor: readonly string[];
};
export type ChangeOverTime = {
  /** Changes of whole stores, and what followed coachings. */
  findings: FindingRow[];
  drifts: ToldDrift[];
  coaching: CoachingChangeRow[];
  /** Levels of a cutter after the first, by `cutter` or `cutter NUL item`; others are not listed. */
  changedOn: ReadonlyMap<string, readonly LevelStart[]>;
  levels: TimeLevels;
};

/** What changes in people and stores over time: drift, changes of a whole store, and what coaching did. */
export const changeOverTime = (input: ChangeInput): ChangeOverTime => {
  const { chain, asOfDay, reference, adjustedFor } = input;
  const people = peopleTests(input.used, input.expected, input.seenDayOf);
  const levels = timeLevels(people, reference);
  const drift = {
    chain,
    asOfDay,
    coaching: reference.coaching,
    cutterShares: input.cutterShares,
    adjustedFor,
  };
  const coached = (isKnown: (place: number) => boolean): CoachingEffect[] =>
    coachingEffects(levels, reference.coaching, { asOfDay, chain, isKnown });
  const effects = coached(() => true);
  const before = coached((place) => (people.seenDay[place] as number) < asOfDay);
  const changes = confirmedChanges(levels);
  return {
    findings: [
      ...storeChangeFindings(levels, drift),
      ...coachingFindings(effects, levels, { chain, asOfDay, before, adjustedFor }),
    ],
    drifts: toldDrifts(changes, levels, drift),
    coaching: coachingRows(effects),
    changedOn: levelStarts(changes, [effects, before], { ...levels, asOfDay }),
    levels,
  };
};

/**
 * Levels that began with a confirmed change or a coaching that worked, by cutter, or by cutter and item where it is of one
 * item; for beginners the day from which their tests tell of a lasting level. That a coaching worked is known tonight where
 * the tests `before` did not show it; when before is not kept.
 */
const levelStarts = (
  changes: readonly (readonly LevelChange[])[],
  [effects, before]: readonly [readonly CoachingEffect[], readonly CoachingEffect[]],
  { people, learning, sinceOf, asOfDay }: TimeLevels & { asOfDay: number },
): Map<string, LevelStart[]> => {
  const starts = new Map<string, LevelStart[]>();
  const add = (cutter: string, item: string, start: LevelStart): void => {
    const key = item === '' ? cutter : `${cutter}\u0000${item}`;
    starts.set(key, [...(starts.get(key) ?? []), start]);
  };
  const always = Number.NEGATIVE_INFINITY;
  for (const [code, cutter] of people.cutter.levels.entries()) {
    const day = learnedOn(learning, sinceOf(cutter));
    const first = people.ofCutter[code]?.[0];
    if (first !== undefined && (people.day[first] as number) < day)
      add(cutter, '', { day, knownDay: always });
  }
  for (const { cutter, item, day, knownDay } of changes.flat()) {
    const name = item < 0 ? '' : (people.item.levels[item] as string);
    add(people.cutter.levels[cutter] as string, name, { day, knownDay });
  }
  const wasKnown = new Set(before.filter(({ verdict }) => verdict === 'improved').map(({ event }) => event));
  for (const { event, verdict } of effects)
    if (verdict === 'improved') {
      const knownDay = wasKnown.has(event) ? always : asOfDay;
      add(event.cutter, event.item, { day: event.coachedOn + 1, knownDay });
    }
  return starts;
};
