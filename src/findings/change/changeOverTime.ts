import type { ColumnTable } from 'arquero';
import type { Chain } from '../../catalog/chain.ts';
import type { MeasuredTest } from '../../measure/measured.ts';
import type { ReferenceTables } from '../../normalize/normalized.ts';
import type { CoachingChangeRow, FindingRow } from '../found.ts';
import type { WeeklyShare } from '../weeklyShares.ts';
import { type CoachingEffect, coachingEffects } from './coachingEffects.ts';
import { coachingFindings, coachingRows } from './coachingFindings.ts';
import { driftFindings, storeChangeFindings } from './driftFindings.ts';
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
  findings: FindingRow[];
  coaching: CoachingChangeRow[];
  effects: CoachingEffect[];
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
    coachingEffects(levels, reference.coaching, {
      asOfDay,
      threshold: chain.thresholds.effect_points,
      isKnown,
    });
  const effects = coached(() => true);
  const before = coached((place) => (people.seenDay[place] as number) < asOfDay);
  return {
    findings: [
      ...driftFindings(levels, drift),
      ...storeChangeFindings(levels, drift),
      ...coachingFindings(effects, levels, { chain, before, adjustedFor }),
    ],
    coaching: coachingRows(effects),
    effects,
    levels,
  };
};
