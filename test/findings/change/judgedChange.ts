import type { Chain } from '../../../src/catalog/chain.ts';
import { changeOverTime } from '../../../src/findings/change/changeOverTime.ts';
import { driftFinding } from '../../../src/findings/change/driftFindings.ts';
import type { WeeklyShare } from '../../../src/findings/weeklyShares.ts';
import type { CoachingRow } from '../../../src/normalize/normalized.ts';
import { seededDraws } from '../../simulator/seededDraws.ts';
import { type MadeTest, madeNight } from './timeSeries.ts';

export const firstDay = 20000;
export const days = 400;
export const chain = {
  language: 'en-US',
  currency: 'USD',
  thresholds: { effect_points: 1, money_per_week: 0, chance: 0.9 },
} as Chain;

export type Made = (about: { cutter: number; store: number; day: number }) => number;

/** 12 stores of 4 cutters, 60 tests each over 400 days on three items; `extra` adds points. */
export const madeChain = (seed: number, extra: Made): MadeTest[] => {
  const draws = seededDraws(seed, 3);
  return Array.from({ length: 48 }, (_, cutter) => {
    const level = 0.7 * draws.normal();
    return Array.from({ length: 60 }, (_, k): MadeTest => {
      const day = firstDay + Math.floor(((k + draws.uniform()) / 60) * days);
      const store = cutter % 12;
      return {
        store: `s-${String(store).padStart(2, '0')}`,
        cutter: `c-${String(cutter).padStart(2, '0')}`,
        item: `item ${k % 3}`,
        day,
        points: level + 1.9 * draws.heavy() + extra({ cutter, store, day }),
      };
    });
  }).flat();
};

export const judged = (
  made: readonly MadeTest[],
  about: {
    coaching?: CoachingRow[];
    since?: ReadonlyMap<string, number>;
    seenDays?: ReadonlyMap<string, number>;
    shares?: [string, WeeklyShare[]][];
    thresholds?: Chain['thresholds'];
  } = {},
) => {
  const { used, expected } = madeNight(made);
  const told = changeOverTime({
    chain: { ...chain, thresholds: about.thresholds ?? chain.thresholds },
    asOfDay: firstDay + days,
    used,
    expected,
    reference: {
      coaching: about.coaching ?? [],
      cutters: [...(about.since ?? new Map())].map(([cutter, since]) => ({
        cutter,
        name: '',
        store: '',
        since,
      })),
    },
    seenDayOf: (test) => about.seenDays?.get(test.sourceFile) ?? Number.NaN,
    cutterShares: new Map(about.shares ?? []),
    adjustedFor: [],
  });
  const drifts = told.drifts.map((drift) => driftFinding(drift, () => false, chain));
  return {
    ...told,
    drifts,
    findings: [...told.findings, ...drifts.map(({ finding }) => finding)],
  };
};
export const coachedOn = firstDay + 200;
export const event = (cutter: string, habit = ''): CoachingRow => ({
  cutter,
  item: '',
  habit,
  coachedOn,
  by: '',
});
