import { describe, expect, it } from 'vitest';
import type { Chain } from '../../../src/catalog/chain.ts';
import type { CoachingEffect } from '../../../src/findings/change/coachingEffects.ts';
import { coachingFindings } from '../../../src/findings/change/coachingFindings.ts';
import type { TimeLevels } from '../../../src/findings/change/timeLevels.ts';

const chain = { language: 'en-US', currency: 'USD' } as Chain;
const levels = { people: { seenDay: [], tests: [] } } as unknown as TimeLevels;
const effect = {
  event: { cutter: 'c-1', item: '180', coachedOn: 20_000 },
  outcome: 'main_cut',
  testsBefore: 7,
  testsAfter: 10,
  rawBefore: -2.81,
  expectedAfter: -1.79,
  gain: 3.04,
  low: 1.5,
  high: 4.6,
  verdict: 'improved',
  habit: 'cured',
  hadHabit: true,
  places: new Int32Array(),
} as unknown as CoachingEffect;
const says = (over: Partial<CoachingEffect>): string =>
  coachingFindings([{ ...effect, ...over }], levels, {
    chain,
    asOfDay: 20_100,
    before: [],
    adjustedFor: [],
  })[0]?.says ?? '';

describe('what is said of a coaching', () => {
  it('tells the gain with its unit, the level before, and what was to be expected without it', () => {
    expect(says({})).toBe(
      'Coaching worked; main cut better by 3.0 points of drained weight (95 % interval 1.5 to 4.6), and the habit is gone, over 10 tests after against their own level before, -2.8 points (7 tests; -1.8 was to be expected without coaching), and uncoached cutters in the same months.',
    );
    expect(says({ verdict: 'not-improved', gain: -0.3, low: -1.2, high: 0.6 })).toContain(
      'main cut: a gain of -0.3 points of drained weight (95 % interval -1.2 to 0.6)',
    );
    expect(says({ rawBefore: Number.NaN })).toContain('their own level before, which is not known, and');
    expect(says({ expectedAfter: Number.NaN })).toContain('-2.8 points (7 tests), and');
  });
  it('says how many tests are still needed', () => {
    expect(says({ verdict: 'too-early', testsNeeded: 1 })).toMatch(
      /after 10 tests; 1 more test is needed to see a gain of 2 points\.$/,
    );
    expect(says({ verdict: 'too-early', testsNeeded: 3 })).toContain('3 more tests are needed to see');
  });
});
