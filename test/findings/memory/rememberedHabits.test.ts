import { describe, expect, it } from 'vitest';
import type { Chain } from '../../../src/catalog/chain.ts';
import { type Outcome, outcomes } from '../../../src/catalog/outcomes.ts';
import { type PeopleTests, peopleTests } from '../../../src/findings/change/peopleTests.ts';
import type { Habit } from '../../../src/findings/cutterFindings.ts';
import { effectPriors, effectsAsTold, nothingTold, tell } from '../../../src/findings/memory/effectPath.ts';
import type { LevelStart } from '../../../src/findings/memory/histories.ts';
import { rememberedFinding } from '../../../src/findings/memory/rememberedFinding.ts';
import { type DatedHabit, rememberedHabits } from '../../../src/findings/memory/rememberedHabits.ts';
import type { EffectRow } from '../../../src/model/modeled.ts';
import { normalCdf } from '../../../src/tables/normalDistribution.ts';
import { seededDraws } from '../../simulator/seededDraws.ts';
import { type MadeTest, madeNight } from '../change/timeSeries.ts';

const firstDay = 20000;
const asOfDay = 20400;
const chain = {
  language: 'en-US',
  currency: 'USD',
  thresholds: { effect_points: 1, money_per_week: 0, chance: 0.9 },
} as Chain;

/** 30 cutters of 30 tests on one item, one every 12 days; cutter 0 is off by `points(day)` of main cut that goes to fat. */
const madeTests = (points: (day: number) => number): MadeTest[] => {
  const draws = seededDraws(8, 6);
  return Array.from({ length: 30 }, (_, cutter) =>
    Array.from({ length: 30 }, (__, k): MadeTest => {
      const day = firstDay + 12 * k + 1;
      return {
        store: `s-${cutter % 5}`,
        cutter: `c-${cutter}`,
        item: '180',
        day,
        points: 1.2 * draws.normal() + (cutter === 0 ? points(day) : 0),
      };
    }),
  ).flat();
};

const shares: Partial<Record<Outcome, number>> = {
  saleable: 1,
  main_cut: 0.85,
  lean_trim: 0.1,
  fat: -0.9,
  value: 0.3,
  unaccounted: -0.1,
};
const shareOf = (outcome: Outcome): number => shares[outcome] ?? 0;

/** Effects as a model would give them from all tests: main cut falls with saleable, fat and trim rise. */
const effectsOf = (made: readonly MadeTest[]): EffectRow[] =>
  Array.from({ length: 30 }, (_, cutter) => {
    const own = made.filter((test) => test.cutter === `c-${cutter}`);
    const mean = own.reduce((sum, test) => sum + test.points, 0) / own.length;
    return outcomes.map((outcome): EffectRow => {
      const share = shareOf(outcome);
      const effect = 0.95 * mean * share;
      const sd = Math.abs(share) * 0.35;
      const threshold = outcome === 'value' ? 0 : 1;
      return {
        kind: 'cutter-item',
        id: `c-${cutter}`,
        store: `s-${cutter % 5}`,
        item: '180',
        outcome,
        tests: own.length,
        status: 'ok',
        effect,
        sd,
        low: effect - 2 * sd,
        high: effect + 2 * sd,
        difference: mean * share,
        differenceSd: sd,
        reliability: 0.9,
        chanceBeyond: sd > 0 ? normalCdf((Math.abs(effect) - threshold) / sd) : 0,
      } as EffectRow;
    });
  }).flat();

const night = (
  points: (day: number) => number,
  about: {
    seenDay?: (cutter: string, day: number) => number;
    /** Points that a test of cutter 0 is off by for another reason than the cutter's lasting level. */
    passing?: (day: number) => number;
    changedOn?: ReadonlyMap<string, readonly LevelStart[]>;
    asOf?: number;
    isWorthTelling?: (habit: Habit) => boolean;
  } = {},
) => {
  const made = madeTests(points);
  const { used, expected } = madeNight(made);
  const people = peopleTests(
    used,
    expected,
    (test) => about.seenDay?.(test.cutter, test.cutDay) ?? Number.NaN,
  );
  const passing = people.tests.map(({ cutter, cutDay }) =>
    cutter === 'c-0' ? (about.passing?.(cutDay) ?? 0) : 0,
  );
  const lasting = Object.fromEntries(
    outcomes.map((outcome) => [
      outcome,
      people.left[outcome].map((value, i) => value - shareOf(outcome) * (passing[i] as number)),
    ]),
  ) as PeopleTests['left'];
  return rememberedHabits({
    effects: effectsOf(made),
    people,
    lasting,
    chain,
    asOfDay: about.asOf ?? asOfDay,
    changedOn: about.changedOn ?? new Map(),
    isWorthTelling: about.isWorthTelling ?? (() => true),
    isToldAlone: () => true,
  }).map(({ parts, ...rest }) => ({ ...rest, parts, ...(parts[0] as DatedHabit) }));
};
const always = (): number => -4;

describe('effects as some tests told them', () => {
  const made = madeTests(always);
  const { used, expected } = madeNight(made);
  const people = peopleTests(used, expected, () => Number.NaN);
  const rows = effectsOf(made).filter((row) => row.id === 'c-0');
  const places = people.ofCutter[people.cutter.levels.indexOf('c-0')] as Int32Array;
  const toldBy = (count: number) => {
    const told = nothingTold();
    for (const place of places.subarray(0, count)) tell(told, people, place);
    return told;
  };
  const history = { rows, whole: toldBy(30) };
  const priors = effectPriors([history, ...Array.from({ length: 9 }, () => ({ rows, whole: toldBy(30) }))]);
  const mainBy = (count: number): EffectRow =>
    effectsAsTold(history, toldBy(count), { priors, threshold: 1 }).find(
      (row) => row.outcome === 'main_cut',
    ) as EffectRow;

  it('are tonight’s when all tests are told', () => {
    const tonight = rows.find((row) => row.outcome === 'main_cut') as EffectRow;
    expect(mainBy(30).effect).toBeCloseTo(tonight.effect, 9);
    expect(mainBy(30).tests).toBe(30);
  });

  it('are less sure with fewer tests, and nothing without', () => {
    expect(mainBy(5).sd).toBeGreaterThan(mainBy(30).sd);
    expect(mainBy(2).status).toBe('too-few-tests');
    expect(mainBy(0).effect).toBeCloseTo(0, 12);
  });
});

describe('memory of habits', () => {
  it('tells nothing where nobody is off', () => {
    expect(night(() => 0)).toEqual([]);
  });

  it('is new when all sheets come in tonight, and continuing when they were known', () => {
    const first = night(always, { seenDay: () => asOfDay });
    expect(first.map(({ habit, status }) => [habit.on.id, habit.kind, status])).toEqual([
      ['c-0', 'over-trimming', 'new'],
    ]);
    const later = night(always, { seenDay: () => asOfDay - 1 });
    expect(later.map(({ status }) => status)).toEqual(['continuing']);
    expect(later[0]?.sinceDay).toBe(first[0]?.sinceDay);
  });

  it('says since when the tests show it: after the first few of them, or after the change', () => {
    expect((night(always)[0]?.sinceDay as number) - firstDay).toBeLessThan(120);
    const changed = night((day) => (day < firstDay + 120 ? 0 : -6));
    expect((changed[0]?.sinceDay as number) - firstDay).toBeGreaterThan(120);
  });

  it('is of the lasting level: what a beginner had to learn, or a scale added for a time, is no habit', () => {
    const learning = (day: number): number => -7 * 2 ** (-(day - firstDay) / 100);
    expect(night(learning).map(({ habit }) => [habit.on.id, habit.kind])).toEqual([['c-0', 'over-trimming']]);
    expect(night(learning, { passing: learning })).toEqual([]);
    const both = night((day) => learning(day) - 4, { passing: learning });
    expect(both[0]?.habit.on.effect).toBeGreaterThan(-4.5);
    expect(both[0]?.habit.on.effect).toBeLessThan(-2.5);
  });

  it('is the same in a rerun', () => {
    expect(night(always)).toEqual(night(always));
  });

  it('holds what was told until the chance falls below 0.7', () => {
    // a habit that fades: the mean over all tests ends near the threshold
    const chances = [-1.9, -1.6, -1.4, -1.2].map((late) =>
      night((day) => (day < firstDay + 180 ? -2.6 : late + 1.6)),
    );
    const told = chances.flat();
    expect(told.length).toBeGreaterThan(0);
    for (const { habit, status } of told)
      expect(habit.on.chanceBeyond >= 0.9 || status === 'resolved' || habit.on.chanceBeyond >= 0.7).toBe(
        true,
      );
    expect(told.some(({ habit, status }) => status === 'continuing' && habit.on.chanceBeyond < 0.9)).toBe(
      true,
    );
  });

  const gone = (day: number): number => (day < firstDay + 200 ? -4 : 0);
  const changed = (knownDay: number) => new Map([['c-0', [{ day: firstDay + 200, knownDay }]]]);

  it('counts only tests since a change of level, and is resolved for four weeks since these were known to show no habit', () => {
    const at = (asOf: number, knownDay: number) =>
      night(gone, { changedOn: changed(knownDay), asOf }).map(({ status, habit }) => [status, habit.kind]);
    expect(at(firstDay + 225, firstDay + 200)).toEqual([['resolved', 'over-trimming']]);
    expect(at(asOfDay, firstDay + 200)).toEqual([]);
    // a change that was heard of late was told until then
    expect(at(asOfDay, asOfDay)).toEqual([['resolved', 'over-trimming']]);
    expect(at(asOfDay, firstDay + 313)).toEqual([]);
  });

  it('resolves nothing that was not told: not on the first night, nor what costs too little', () => {
    const first = { changedOn: changed(asOfDay), seenDay: () => asOfDay };
    expect(night(gone, first)).toEqual([]);
    const cheap = { changedOn: changed(asOfDay), isWorthTelling: () => false };
    expect(night(gone, cheap)).toEqual([]);
    // all sheets but the last two came in one night, after the habit had gone
    const later = {
      changedOn: changed(-Infinity),
      seenDay: (_: string, day: number) => Math.max(day, asOfDay - 60),
    };
    expect(night(gone, later)).toEqual([]);
  });

  it('is new once, also where the money makes it worth telling only tonight', () => {
    const costs = (habit: Habit): boolean => habit.on.tests >= 30;
    const late = { seenDay: (_: string, day: number) => (day > firstDay + 340 ? asOfDay : day) };
    expect(night(always, { ...late, isWorthTelling: costs }).map(({ status }) => status)).toEqual(['new']);
    expect(night(always, late).map(({ status }) => status)).toEqual(['continuing']);
  });

  it('keeps no money and no losses with what is resolved', () => {
    const [over] = night(gone, { changedOn: changed(firstDay + 200), asOf: firstDay + 225 });
    const { used } = madeNight(madeTests(always));
    const shares = { cutters: new Map(), stores: new Map() };
    const [row] = rememberedFinding(over as NonNullable<typeof over>, {
      chain,
      testsOf: (_, id, item) => used.filter((test) => test.cutter === id && test.item === item),
      shares,
      residualOf: () => 0,
      coversOf: () => [],
      adjustedFor: [],
    });
    expect(row?.losses).toEqual([]);
    expect(row?.finding.moneyPerWeek).toBeNaN();
    expect(row?.finding.headline.startsWith('Resolved: ')).toBe(true);
  });
});
