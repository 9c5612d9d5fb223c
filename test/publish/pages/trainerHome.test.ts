import { describe, expect, it } from 'vitest';
import { formats } from '../../../src/publish/pages/formats.ts';
import { owedText } from '../../../src/publish/pages/trainerHome.tsx';
import { coachingsText, type OwedStore } from '../../../src/publish/pages/trainerView.ts';

const write = formats({ language: 'en', currency: 'USD', unit: 'lb' });
const owes = (behind: number, toTell: number) => ({ behind, toTell }) as OwedStore;

describe('what the trainer’s first page counts', () => {
  it('tells a coaching that is too early to tell from one that did not help', () => {
    expect(coachingsText(2, 1, 1)).toBe('coaching helped; of 1 more it is too early to tell');
    expect(coachingsText(5, 2, 1)).toBe(
      'coachings helped; 2 without effect so far; of 1 more it is too early to tell',
    );
    expect(coachingsText(1, 1, 0)).toBe('coaching helped');
  });
  it('tells stores that are behind from those that only cannot be compared', () => {
    expect(owedText([owes(12, 53), owes(0, 66), owes(0, 9)], write)).toBe(
      '1 store behind the plan; 3 stores where it is open whether a cutter loses main cut, which more tests may tell (what is found above is clear without them)',
    );
    expect(owedText([owes(0, 5)], write)).toBe(
      'No store is behind its plan; 1 store where it is open whether a cutter loses main cut, which more tests may tell (what is found above is clear without them)',
    );
    expect(owedText([owes(2, 0), owes(1, 0)], write)).toBe('2 stores behind the plan');
  });
});
