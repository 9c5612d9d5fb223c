import { describe, expect, it } from 'vitest';
import type { FindingRow } from '../../../src/findings/found.ts';
import { groupAction } from '../../../src/publish/pages/findingAction.ts';
import {
  findingNews,
  findingProblem,
  findingSays,
  findingWorth,
} from '../../../src/publish/pages/findingText.ts';
import { formats } from '../../../src/publish/pages/formats.ts';
import type { TrainerFacts } from '../../../src/publish/pages/trainerFacts.ts';

const write = formats({ language: 'en', currency: 'USD', unit: 'lb' });
const facts = {
  store: () => 'Mill Street',
  who: () => 'cutter ab12',
  item: () => 'strip loin (180)',
} as unknown as TrainerFacts;
const finding = {
  kind: 'over-trimming',
  status: 'new',
  store: 's-1',
  cutter: 'c-1',
  item: '180',
  moneyPerWeek: 58.8,
  moneyLow: 41.7,
  moneyHigh: 75.9,
  headline:
    'ab12 on 180: main cut 4.2 points below expected (95 % interval -5.2 to -3.2), over 14 tests against the others; $58.70 a week ($41.56 to $75.83). A question, not a verdict.',
} as FindingRow;
const seen =
  'Main cut 4.2 points below expected (95 % interval -5.2 to -3.2), over 14 tests against the others.';

describe('what a finding says', () => {
  it('leaves out what stands beside it: who and on what, the money, the words of the banner', () => {
    expect(findingSays(finding)).toBe(seen);
  });
  it('keeps the question that was asked after the money', () => {
    const headline = finding.headline.replace('A question', 'Is the tub not weighed? A question');
    expect(findingSays({ ...finding, headline })).toBe(`${seen} Is the tub not weighed?`);
  });
  it('leaves words that are a question of their own alone', () => {
    const headline =
      'A question for the store about ab12: are all lines weighed? a scale may look the same; a question, not a verdict.';
    expect(findingSays({ ...finding, headline })).toBe('Are all lines weighed? a scale may look the same.');
  });
  it('names who and on what where nothing beside it does, and what is over', () => {
    expect(findingNews(finding, facts)).toBe(
      `cutter ab12 on strip loin (180): ${seen.replace('Main', 'main')}`,
    );
    expect(findingNews({ ...finding, cutter: '', item: '', status: 'resolved' }, facts)).toContain(
      'Mill Street on all items: no longer seen. It was: main cut',
    );
  });
  it('adds money of several with its interval, and is silent where money is not the point', () => {
    expect(findingWorth([finding], write)).toMatchObject({ worth: '$59', worthNote: 'a week, $42 to $76' });
    expect(findingWorth([{ ...finding, moneyPerWeek: Number.NaN }], write)).toMatchObject({
      worth: '',
      worthNote: '',
    });
  });
  it('speaks of a week only where a volume is known', () => {
    const seen = {
      ...finding,
      ofTestsSeen: true,
      headline: finding.headline.replace('a week', 'in the tests seen (no volume in the last 13 weeks)'),
    };
    expect(findingWorth([seen], write)).toMatchObject({ worthNote: 'in the tests seen, $42 to $76' });
    expect(findingSays(seen)).toBe(findingSays(finding));
  });
  it('does not count what a change costs beside the habit it led to, nor say that a habit may hold where it does', () => {
    const drift = { ...finding, kind: 'drift', item: '', moneyPerWeek: 40 };
    expect(findingWorth([finding, drift], write).worth).toBe('$59');
    expect(findingWorth([drift], write).worth).toBe('$40');
    expect(findingWorth([finding, { ...drift, cutter: 'c-2' }], write).worth).toBe('$99');
    const told = { ...facts, cutterFile: () => '', storeFile: () => '' } as unknown as TrainerFacts;
    const elsewhere = { ...finding, item: '184' };
    const { why } = groupAction([finding, drift, finding, elsewhere], told, write);
    expect(why).toBe(`${seen} The same may hold on strip loin (180). Also: something changed on all items.`);
    expect(groupAction([finding, finding], told, write).why).toBe(seen);
  });
  it('ends a sentence with the problem, or says nothing', () => {
    expect(findingProblem(finding, facts)).toBe(
      'one cutter leaves main cut of strip loin (180) in the trim tub',
    );
    expect(findingProblem({ ...finding, kind: 'scale-question' }, facts)).toBe('');
  });
});
