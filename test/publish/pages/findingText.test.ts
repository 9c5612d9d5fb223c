import { describe, expect, it } from 'vitest';
import type { FindingRow } from '../../../src/findings/found.ts';
import { findingProblem, findingSays, findingWorth } from '../../../src/publish/pages/findingText.ts';
import { formats } from '../../../src/publish/pages/formats.ts';
import type { TrainerFacts } from '../../../src/publish/pages/trainerFacts.ts';

const write = formats({ language: 'en', currency: 'USD', unit: 'lb' });
const facts = { store: () => 'Mill Street', item: () => 'strip loin (180)' } as unknown as TrainerFacts;
const finding = {
  kind: 'over-trimming',
  status: 'new',
  store: 's-1',
  item: '180',
  effect: -4.2,
  low: -5.2,
  high: -3.2,
  tests: 14,
  comparedWith: 'the other cutters',
  moneyPerWeek: 58.8,
  moneyLow: 41.7,
  moneyHigh: 75.9,
  headline: 'ab12 on 180: main cut 4.2 points below expected. A question, not a verdict.',
} as FindingRow;

describe('what a finding says under a title that names who and what', () => {
  it('writes a loss without its sign, from the nearer to the farther end', () => {
    expect(findingSays(finding, facts, write)).toBe(
      'Main cut is 4.2 points below expected (95 % interval 3.2 to 5.2), gone to trim or fat; 14 tests against the other cutters.',
    );
  });
  it('keeps signs where the interval holds 0', () => {
    expect(findingSays({ ...finding, high: 0.3 }, facts, write)).toContain('95 % interval -5.2 to +0.3');
  });
  it('takes the headline of other kinds, with names in place of keys', () => {
    const drift = { ...finding, kind: 'drift', headline: 'ab12 on 180: fell. A question, not a verdict.' };
    expect(findingSays(drift, facts, write)).toBe('ab12 on strip loin (180): fell.');
    const room = { ...finding, kind: 'scale-question', item: '', headline: 'Store s-1: scale off.' };
    expect(findingSays(room, facts, write)).toBe('Mill Street: scale off.');
  });
  it('adds money of several with its interval, and is silent where money is not the point', () => {
    expect(findingWorth([finding], write)).toEqual({ worth: '$59', worthNote: 'a week, $42 to $76' });
    expect(findingWorth([{ ...finding, moneyPerWeek: Number.NaN }], write)).toEqual({
      worth: '',
      worthNote: '',
    });
  });
  it('ends a sentence with the problem, or says nothing', () => {
    expect(findingProblem(finding, facts)).toBe(
      'one cutter leaves main cut of strip loin (180) in the trim tub',
    );
    expect(findingProblem({ ...finding, kind: 'scale-question' }, facts)).toBe('');
  });
});
