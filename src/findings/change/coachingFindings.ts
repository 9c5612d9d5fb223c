import type { Chain } from '../../catalog/chain.ts';
import type { MeasuredTest } from '../../measure/measured.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import { countedTests } from '../../units/counted.ts';
import { chainNumbers } from '../chainNumbers.ts';
import type { CoachingChangeRow, FindingRow } from '../found.ts';
import { noMoney, writtenFinding } from '../writtenFinding.ts';
import type { CoachingEffect } from './coachingEffects.ts';
import type { TimeLevels } from './timeLevels.ts';

const words: Record<string, string> = {
  saleable: 'saleable',
  main_cut: 'main cut',
  lean_trim: 'lean trim',
  unaccounted: 'unaccounted',
};

/** One finding a coaching: did it work. `before` holds the effects as known before tonight's tests, same events. */
export const coachingFindings = (
  effects: readonly CoachingEffect[],
  levels: TimeLevels,
  {
    chain,
    asOfDay,
    before,
    adjustedFor,
  }: { chain: Chain; asOfDay: number; before: readonly CoachingEffect[]; adjustedFor: readonly string[] },
): FindingRow[] => {
  const { points: number } = chainNumbers(chain);
  const latest = new Map(
    effects.map((effect) => [`${effect.event.cutter}\u0000${effect.event.item}`, effect]),
  );
  const lastNight = levels.people.seenDay.reduce(
    (last, night) => (night < asOfDay ? Math.max(last, night) : last),
    Number.NEGATIVE_INFINITY,
  );
  return [...latest.values()].map((effect) => {
    const { event } = effect;
    const told = event.coachedOn <= lastNight ? before.find((one) => one.event === event) : undefined;
    const isCalm = effect.verdict === 'not-improved' && !effect.hadHabit;
    const evidence = Array.from(effect.places, (i) => levels.people.tests[i] as MeasuredTest);
    return writtenFinding(
      {
        kind: effect.verdict,
        store: effect.store,
        region: evidence[0]?.region ?? '',
        cutter: event.cutter,
        item: event.item,
        outcome: effect.outcome,
        status: told?.verdict === effect.verdict ? 'continuing' : 'new',
        since: isoFromDay(event.coachedOn),
        effect: effect.gain,
        low: effect.low,
        high: effect.high,
        chance: effect.chance,
        tests: effect.testsAfter,
        comparedWith: `their own level before, ${levelText(effect, number)}, and uncoached cutters in the same months`,
        money: noMoney,
        size: sizeOf(effect, number),
        seen: isCalm ? 'nothing to cure was seen before coaching' : seenOf(effect),
        ...(isCalm ? { where: 'nothing', nothingToCure: true as const } : {}),
        evidence,
        adjustments: [
          ...adjustedFor,
          'what uncoached cutters did in the same months',
          'regression to the mean',
          'changes of the whole store',
        ],
      },
      chain,
    );
  });
};

/** The level before as seen, and what of it would have come back without coaching. */
const levelText = (
  { rawBefore, expectedAfter, testsBefore }: CoachingEffect,
  number: Intl.NumberFormat,
): string => {
  if (Number.isNaN(rawBefore)) return 'which is not known';
  const expected = Number.isNaN(expectedAfter)
    ? ''
    : `; ${number.format(expectedAfter)} was to be expected without coaching`;
  return `${number.format(rawBefore)} points (${countedTests(testsBefore)}${expected})`;
};

/** Of the habit where coaching worked; where it did not, that waiting for more tests would not help. */
const seenOf = ({ verdict, habit, hasFewBefore }: CoachingEffect): string => {
  if (verdict === 'improved') return habitWords[habit] ?? '';
  return hasFewBefore ? 'no improvement seen after coaching, but too few tests before it to be sure' : '';
};

const habitWords: Record<string, string> = {
  cured: 'and the habit is gone',
  'not-cured': 'but the habit is still there: only the average has moved',
  unclear: 'and it cannot yet be said whether the habit is gone',
};

/** What the headline says of the size: points gained, or the tests still needed. */
const sizeOf = (effect: CoachingEffect, number: Intl.NumberFormat): string => {
  const outcome = words[effect.outcome] ?? effect.outcome;
  if (effect.verdict === 'too-early')
    return effect.testsNeeded === 1 ? '1 more test is' : `${effect.testsNeeded} more tests are`;
  const gain = `${number.format(effect.gain)} points of drained weight`;
  return effect.verdict === 'not-improved' ? `${outcome}: a gain of ${gain}` : `${outcome} better by ${gain}`;
};

/** Rows of the coaching table: every coaching, then all of a cutter, of an item and of the chain together. */
export const coachingRows = (effects: readonly CoachingEffect[]): CoachingChangeRow[] => {
  const groups = (
    keyOf: (effect: CoachingEffect) => string,
    scope: CoachingChangeRow['scope'],
  ): CoachingChangeRow[] =>
    [...new Set(effects.map(keyOf))].sort().map((key) =>
      pooled(
        effects.filter((effect) => keyOf(effect) === key),
        scope,
        key,
      ),
    );
  return [
    ...effects.map(eventRow),
    ...groups((effect) => effect.event.cutter, 'cutter'),
    ...groups((effect) => effect.event.item, 'item'),
    ...(effects.length > 0 ? groups(() => '', 'chain') : []),
  ];
};

const eventRow = (effect: CoachingEffect): CoachingChangeRow => ({
  scope: 'event',
  cutter: effect.event.cutter,
  item: effect.event.item,
  habit: effect.event.habit,
  coachedOn: isoFromDay(effect.event.coachedOn),
  by: effect.event.by,
  outcome: effect.outcome,
  events: 1,
  testsBefore: effect.testsBefore,
  testsAfter: effect.testsAfter,
  rawBefore: effect.rawBefore,
  expectedAfter: effect.expectedAfter,
  after: effect.after,
  gain: effect.testsAfter > 0 ? effect.gain : Number.NaN,
  low: effect.testsAfter > 0 ? effect.low : Number.NaN,
  high: effect.testsAfter > 0 ? effect.high : Number.NaN,
  chance: effect.chance,
  verdict: effect.verdict,
  testsNeeded: effect.testsNeeded,
  habitNow: effect.event.habit === '' ? '' : effect.habit,
  improved: effect.verdict === 'improved' ? 1 : 0,
});

/** Coachings together: gains weighted by what each tells; levels are means over the tests. */
const pooled = (
  own: readonly CoachingEffect[],
  scope: CoachingChangeRow['scope'],
  key: string,
): CoachingChangeRow => {
  const told = own.filter((effect) => effect.testsAfter > 0);
  const precision = told.reduce((sum, effect) => sum + 1 / effect.sd ** 2, 0);
  const gain = told.reduce((sum, effect) => sum + effect.gain / effect.sd ** 2, 0) / precision;
  const reach = z975 / Math.sqrt(precision);
  const sum = (pick: (effect: CoachingEffect) => number): number =>
    own.reduce((total, effect) => total + pick(effect), 0);
  const outcomes = [...new Set(own.map((effect) => effect.outcome))];
  return {
    scope,
    cutter: scope === 'cutter' ? key : '',
    item: scope === 'item' ? key : '',
    habit: '',
    coachedOn: '',
    by: '',
    outcome: outcomes.length === 1 ? (outcomes[0] as string) : 'several',
    events: own.length,
    testsBefore: sum((effect) => effect.testsBefore),
    testsAfter: sum((effect) => effect.testsAfter),
    rawBefore: Number.NaN,
    expectedAfter: Number.NaN,
    after: Number.NaN,
    gain: told.length > 0 ? gain : Number.NaN,
    low: told.length > 0 ? gain - reach : Number.NaN,
    high: told.length > 0 ? gain + reach : Number.NaN,
    chance: Number.NaN,
    verdict: '',
    testsNeeded: sum((effect) => effect.testsNeeded),
    habitNow: '',
    improved: sum((effect) => (effect.verdict === 'improved' ? 1 : 0)),
  };
};
